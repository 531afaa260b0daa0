package buswitness.frames;

import buswitness.capture.LevelNote;
import java.util.Arrays;

/** Levels that a recording of level changes brings along, in time order, until its frames are known. */
final class LevelNotes {
    private static final long SAME_PICOS = 1000;
    private static final int VALUES = 5;

    private String unit = "";
    private int size;
    private long[] start = new long[64];
    private float[] values = new float[64 * VALUES];

    void add(LevelNote note) {
        if (size > 0 && note.startPicos() < start[size - 1]) return;
        if (size == start.length) {
            start = Arrays.copyOf(start, size * 2);
            values = Arrays.copyOf(values, size * 2 * VALUES);
        }
        unit = note.unit();
        start[size] = note.startPicos();
        int at = VALUES * size++;
        values[at] = note.dominant();
        values[at + 1] = note.recessive();
        values[at + 2] = note.step();
        values[at + 3] = note.stepError();
        values[at + 4] = note.slope();
    }

    /** Gives each frame its own; nothing where there are none. */
    void giveTo(FrameLog log) {
        if (size == 0) return;
        log.keepLevels(unit);
        FrameLevels levels = log.levels();
        int k = 0;
        for (int i = 0; i < log.size(); i++) {
            levels.addBlank();
            while (k < size && start[k] < log.startPicos(i) - SAME_PICOS) k++;
            if (k == size || start[k] > log.startPicos(i) + SAME_PICOS) continue;
            int at = VALUES * k;
            levels.set(i, values[at], values[at + 1], values[at + 2], values[at + 3], values[at + 4]);
        }
    }
}
