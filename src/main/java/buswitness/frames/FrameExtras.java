package buswitness.frames;

import java.util.HashMap;
import java.util.Map;

/** What only few frames of a log have, kept by their index. */
final class FrameExtras<T> {
    private final Map<Integer, T> rows = new HashMap<>();

    void put(int frame, T row) {
        if (row != null) rows.put(frame, row);
    }

    T get(int frame) {
        return rows.get(frame);
    }

    /** Drops the oldest frames; the indexes of the others go down by as many. */
    void forget(int oldest) {
        FrameExtras<T> kept = new FrameExtras<>();
        copyTo(kept, oldest, Integer.MAX_VALUE);
        rows.clear();
        rows.putAll(kept.rows);
    }

    void copyTo(FrameExtras<T> other, int from, int to) {
        rows.forEach((i, row) -> {
            if (i >= from && i < to) other.put(i - from, row);
        });
    }
}
