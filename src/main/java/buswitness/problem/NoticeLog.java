package buswitness.problem;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/** Keeps the first notices and counts all of them. One writer; read after writing has ended. */
public final class NoticeLog {
    private final List<Notice> kept = new ArrayList<>();
    private final int keepAtMost;
    private long seen;

    /** @param keepAtMost how many notices are kept whole, at least 1 */
    public NoticeLog(int keepAtMost) {
        if (keepAtMost < 1) throw new IllegalArgumentException("keepAtMost must be >= 1: " + keepAtMost);
        this.keepAtMost = keepAtMost;
    }

    public void add(Notice notice) {
        seen++;
        if (kept.size() < keepAtMost) kept.add(notice);
    }

    public List<Notice> kept() {
        return Collections.unmodifiableList(kept);
    }

    /** Every notice ever added, kept or not. */
    public long seen() {
        return seen;
    }
}
