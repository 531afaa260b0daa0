package buswitness.bits;

/**
 * The first changes of a line, offered to whoever reads it: what they tell under each kind of coding, and a trial
 * reading of them under any of these findings.
 */
public final class LineHead {
    private final EdgeHead head;
    private final LineReader.Options options;
    private final double tickPicos;
    private LineFinding bits;
    private LineFinding bytes;

    LineHead(EdgeHead head, LineReader.Options options) {
        this.head = head;
        this.options = options;
        this.tickPicos = options.tickPicos() > 0 ? options.tickPicos() : head.commonTick();
    }

    /** Level changes there are, glitches included. */
    public int changes() {
        return head.count;
    }

    /** Instant of change {@code i}, picoseconds from time zero. */
    public long atPicos(int i) {
        return head.atPicos[i];
    }

    /** Non-return-to-zero bits, at the rate that was given or the one found. */
    public LineFinding bits() {
        if (bits == null) bits = new RateFinder(head, options).find();
        return bits;
    }

    /** Non-return-to-zero bits at a rate of one's own; measured rate and polarity from the edges. */
    public LineFinding bits(double bitsPerSecond) {
        return new RateFinder(head, new LineReader.Options(null, bitsPerSecond, options.tickPicos())).find();
    }

    /** Asynchronous bytes, at the rate that was given or the one found; the rate is NaN where none fits. */
    public LineFinding bytes() {
        if (bytes == null) bytes = new ByteRate(head, options.bitsPerSecond(), tickPicos).find();
        return bytes;
    }

    /** A short level, picoseconds: one in twenty is shorter; NaN where there are none. */
    public double shortLevelPicos() {
        int n = Math.min(head.count - 1, 1024);
        if (n < 1) return Double.NaN;
        long[] runs = new long[n];
        for (int i = 0; i < n; i++) runs[i] = head.atPicos[i + 1] - head.atPicos[i];
        java.util.Arrays.sort(runs);
        return runs[n / 20];
    }

    /** Asynchronous bytes at a rate of one's own. */
    public LineFinding bytes(double bitsPerSecond) {
        return new ByteRate(head, bitsPerSecond, tickPicos).find();
    }

    /**
     * Pulses whose lengths are laid down, so that nothing but the polarity is to be found.
     *
     * @param shortestPicos shortest that a receiver takes
     * @param longestActivePicos longest active level within a frame
     * @param bitsPerSecond mean rate, to name it
     */
    public LineFinding pulses(double shortestPicos, double longestActivePicos, double bitsPerSecond) {
        Silences silences = new Silences(head, longestActivePicos / Silences.SHORTEST);
        return new LineFinding("levels", bitsPerSecond, bitsPerSecond, 1, false, silences.idleLevel(),
                silences.confidence(), 0, 0, tickPicos, head.count, 0.5 * shortestPicos);
    }

    /**
     * Bits that change their rate within a frame, so that the framing must sample them.
     *
     * @param fastest the higher of the two rates
     */
    public LineFinding levels(double bitsPerSecond, double fastest) {
        Silences silences = new Silences(head, 1e12 / bitsPerSecond, 1e12 / fastest);
        return new LineFinding("levels", bitsPerSecond, bitsPerSecond, 1, options.bitsPerSecond() > 0, silences.idleLevel(),
                silences.confidence(), 0, 0, tickPicos, head.count, LineReader.GLITCH_SHARE * 1e12 / fastest);
    }

    /** Reads the first {@code most} changes, as if the recording ended there. */
    public void look(LineFinding finding, BitRunSink sink, int most) {
        LineReader.look(head, finding, sink, most);
    }
}
