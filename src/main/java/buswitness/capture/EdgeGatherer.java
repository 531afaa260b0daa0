package buswitness.capture;

import java.util.Arrays;

/**
 * Turns "this line is at this level from now on" into what {@link EdgeSink} promises: begins, alternating changes in
 * blocks, gaps. Drops repeats; of several levels at one instant the last counts. Readers hand in times that never
 * decrease ({@link #level} flushes by itself then) or, with {@code columns}, whole lines one after the other between
 * calls of {@link #flush}. Memory is a few blocks in all, whatever the number of lines.
 */
final class EdgeGatherer {
    /** Changes of all lines held before they are passed on. */
    private static final int BUDGET = 4 * EdgeBlock.CAPACITY;
    private static final byte NEVER = -1;
    private static final byte UNKNOWN = -2;
    private static final long[] NO_TIMES = {};
    private static final byte[] NO_LEVELS = {};

    private final EdgeSink sink;
    private final EdgeBlock block = new EdgeBlock();
    private final Line[] lines;
    private final boolean columns;
    private int pending;
    private int unknownLines;
    private long changes;

    private static final class Line {
        /** 0, 1, {@link #NEVER} before watching and after a gap, {@link #UNKNOWN} while the source says so. */
        byte level = NEVER;
        /** Level before it became unknown, for an unknown of no length. */
        byte before = NEVER;
        boolean beginPending;
        byte beginLevel;
        long beginAt;
        long unknownFrom;
        String why;
        long[] at = NO_TIMES;
        byte[] levels = NO_LEVELS;
        int count;
    }

    EdgeGatherer(EdgeSink sink, int lineCount, boolean columns) {
        this.sink = sink;
        this.columns = columns;
        this.lines = new Line[lineCount];
        for (int i = 0; i < lineCount; i++) lines[i] = new Line();
    }

    /** The line holds this level from this instant on. */
    void level(int index, long at, int level) {
        Line line = lines[index];
        if (line.level == level) return;
        if (line.level < 0) {
            open(index, line, at, (byte) level);
            return;
        }
        if (line.count > 0 && line.at[line.count - 1] == at) {
            line.count--;                              // there and back in no time: neither happened
            pending--;
            changes--;
            line.level = (byte) level;
            return;
        }
        if (line.beginPending && line.beginAt == at) {
            line.beginLevel = line.level = (byte) level;
            return;
        }
        if (pending >= BUDGET && !columns) flush(at);
        if (line.count == line.at.length) grow(line);
        line.at[line.count] = at;
        line.levels[line.count++] = line.level = (byte) level;
        pending++;
        changes++;
    }

    private void open(int index, Line line, long at, byte level) {
        if (line.level == UNKNOWN) {
            unknownLines--;
            if (line.unknownFrom == at && line.before != NEVER) {
                line.level = line.before;
                level(index, at, level);
                return;
            }
            if (at > line.unknownFrom) {
                flush(at);
                sink.gap(index, line.unknownFrom, at, line.why);
            }
        }
        line.level = line.beginLevel = level;
        line.beginAt = at;
        line.beginPending = true;
    }

    /** Nothing is known of the line from this instant on, until {@link #level} says otherwise. */
    void unknown(int index, long at, String why) {
        Line line = lines[index];
        if (line.level == UNKNOWN) return;
        if (line.count > 0 && line.at[line.count - 1] == at) {
            line.count--;
            pending--;
            changes--;
            line.level = (byte) (1 - line.level);
        }
        line.before = line.level;
        if (line.beginPending && line.beginAt == at) {
            line.beginPending = false;
            line.before = NEVER;
        }
        line.level = UNKNOWN;
        line.unknownFrom = at;
        line.why = why;
        unknownLines++;
    }

    void unknownAll(long at, String why) {
        for (int i = 0; i < lines.length; i++) unknown(i, at, why);
    }

    /** A stretch that the source itself names as unknown; line -1 is every line. */
    void gap(int index, long from, long until, String why) {
        deliverAll();
        sink.gap(index, from, until, why);
        for (int i = 0; i < lines.length; i++) {
            if (index != -1 && index != i) continue;
            if (lines[i].level == UNKNOWN) unknownLines--;
            lines[i].level = NEVER;
        }
    }

    void mark(long at, String label) {
        flush(at);
        sink.mark(at, label);
    }

    void levels(LevelNote note) {
        sink.levels(note);
    }

    /** Passes on everything before this instant; what happens at it may still be amended. */
    void flush(long now) {
        for (int i = 0; i < lines.length; i++) {
            Line line = lines[i];
            int ready = line.count > 0 && line.at[line.count - 1] >= now ? line.count - 1 : line.count;
            if (line.beginPending && line.beginAt < now) begin(i, line);
            if (ready > 0) deliver(i, line, ready);
        }
        long sure = now;
        if (unknownLines > 0) {
            for (Line line : lines) {
                if (line.level == UNKNOWN && line.before != NEVER) sure = Math.min(sure, line.unknownFrom);
            }
        }
        sink.upTo(sure);
    }

    private void deliverAll() {
        for (int i = 0; i < lines.length; i++) {
            if (lines[i].beginPending) begin(i, lines[i]);
            if (lines[i].count > 0) deliver(i, lines[i], lines[i].count);
        }
    }

    private void begin(int index, Line line) {
        line.beginPending = false;
        sink.begin(index, line.beginAt, line.beginLevel);
    }

    private void deliver(int index, Line line, int ready) {
        if (line.beginPending) begin(index, line);
        for (int from = 0; from < ready; from += EdgeBlock.CAPACITY) {
            int count = Math.min(EdgeBlock.CAPACITY, ready - from);
            System.arraycopy(line.at, from, block.atPicos, 0, count);
            System.arraycopy(line.levels, from, block.level, 0, count);
            block.count = count;
            block.line = index;
            sink.edges(block);
        }
        int kept = line.count - ready;
        if (kept > 0) {
            line.at[0] = line.at[ready];
            line.levels[0] = line.levels[ready];
        }
        line.count = kept;
        pending -= ready;
    }

    /** The recording is over. */
    void end(long at) {
        deliverAll();
        for (int i = 0; i < lines.length; i++) {
            Line line = lines[i];
            if (line.level == UNKNOWN && at > line.unknownFrom) sink.gap(i, line.unknownFrom, at, line.why);
        }
        sink.upTo(at);
        sink.end(at);
    }

    /** Changes taken so far, of all lines. */
    long changes() {
        return changes;
    }

    private static void grow(Line line) {
        int size = Math.max(16, line.at.length * 2);
        line.at = Arrays.copyOf(line.at, size);
        line.levels = Arrays.copyOf(line.levels, size);
    }
}
