package buswitness.bits;

import buswitness.capture.EdgeBlock;

/**
 * One line's level changes to bit runs. The head of the recording is held back until rate and polarity are known from
 * the edges alone, then replayed; from there on blocks pass straight through. One reader per line, one thread.
 */
public final class LineReader {
    /** Runs shorter than this share of a bit are glitches. */
    public static final double GLITCH_SHARE = 0.3;

    /**
     * What is known beforehand.
     *
     * @param coding        not used: the sink chooses
     * @param bitsPerSecond nominal rate, or NaN to find it
     * @param tickPicos     recorder's tick, or NaN to find it
     */
    public record Options(String coding, double bitsPerSecond, double tickPicos) {}

    private final Options options;
    private final BitRunSink sink;
    private EdgeHead head = new EdgeHead(EdgeHead.MOST_CHANGES);
    private LineFinding finding;
    private GlitchFilter filter;
    private LineCoding coding;
    private boolean open;
    private long changes;

    public LineReader(Options options, BitRunSink sink) {
        this.options = options;
        this.sink = sink;
    }

    /** Judges rate and polarity from fewer changes, for a look while the recording goes on. Before anything is read. */
    public void judgeAfter(int changes) {
        head = new EdgeHead(changes);
    }

    /** Judges rate and polarity from what has come so far, where they are not known yet. */
    public void judgeNow() {
        if (head != null && head.count > 0) replay();
    }

    /** The line's level when watching begins; again after every {@link #stop}. */
    public void begin(long atPicos, int level) {
        if (head != null) {
            head.begin(atPicos, level);
            return;
        }
        open = true;
        filter.begin(atPicos, level);
        coding.begin(atPicos, level);
    }

    /** More changes of this line. */
    public void edges(EdgeBlock block) {
        changes += block.count;
        int from = 0;
        if (head != null) {
            if (block.count == 0) return;
            // A source that forgets to say where watching begins: it began with the first change.
            if (!head.isOpen()) head.begin(block.atPicos[0], 1 - block.level[0]);
            from = head.take(block.atPicos, block.level, 0, block.count);
            if (head.isFull()) replay();
        }
        if (from < block.count) pass(block.atPicos, block.level, from, block.count);
    }

    /** Watching ends: a gap, or the recording's end. */
    public void stop(long atPicos) {
        if (head != null) {
            head.stop(atPicos);
            if (head.isFull()) replay();
            return;
        }
        if (!open) return;
        open = false;
        filter.stop(atPicos);
        coding.changes(filter.atPicos, filter.level, filter.glitches, filter.count);
        coding.stop(atPicos);
    }

    /** Nothing more will come. {@link #stop} has been called. */
    public void end() {
        if (head != null) replay();
    }

    /** Null before the head has been judged. */
    public LineFinding finding() {
        return finding;
    }

    /** Level changes taken, glitches included. */
    public long changes() {
        return changes;
    }

    /** Runs filtered as too short to be a bit. */
    public long glitches() {
        return filter == null ? 0 : filter.filtered + coding.dropped();
    }

    private void pass(long[] at, byte[] level, int from, int until) {
        if (!open) begin(at[from], 1 - level[from]);
        filter.filter(at, level, from, until);
        coding.changes(filter.atPicos, filter.level, filter.glitches, filter.count);
    }

    private void replay() {
        EdgeHead held = head;
        head = null;
        finding = sink.choose(new LineHead(held, options));
        sink.found(finding);
        replay(held, Integer.MAX_VALUE);
    }

    /** A reader for a second look at a head that is still held. */
    static void look(EdgeHead held, LineFinding finding, BitRunSink sink, int most) {
        LineReader reader = new LineReader(new Options(null, Double.NaN, Double.NaN), sink);
        reader.head = null;
        reader.finding = finding;
        reader.replay(held, most);
    }

    private void replay(EdgeHead held, int most) {
        filter = new GlitchFilter(Math.round(finding.glitchPicos()));
        coding = coding();
        for (int span = 0; span < held.spans() && held.from(span) < most; span++) {
            begin(held.begin(span), held.level(span));
            int until = Math.min(held.until(span), most);
            for (int i = held.from(span); i < until; i += EdgeBlock.CAPACITY) {
                pass(held.atPicos, held.level, i, Math.min(until, i + EdgeBlock.CAPACITY));
            }
            if (until < held.until(span)) stop(held.atPicos[until]);
            else if (span + 1 < held.spans() || !held.isOpen()) stop(held.stop(span));
        }
    }

    private LineCoding coding() {
        if (finding.coding().equals("levels")) return new LevelChanges(finding, sink);
        return Double.isNaN(finding.bitPicos()) ? new Silence(sink) : new StuffedBits(finding, sink);
    }

    /** A line on which no rate was found carries no bits. */
    private record Silence(BitRunSink sink) implements LineCoding {
        @Override
        public void begin(long atPicos, int level) {
            sink.begin(atPicos);
        }

        @Override
        public void changes(long[] atPicos, byte[] level, int[] glitches, int count) {}

        @Override
        public void stop(long atPicos) {
            sink.stop(atPicos);
        }

        @Override
        public long dropped() {
            return 0;
        }
    }
}
