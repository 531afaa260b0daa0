package buswitness.bits;

/**
 * Non-return-to-zero with bit stuffing: samples each bit once, late in the bit, on a clock that is set by edges from
 * recessive to dominant alone, as ISO 11898-1 has it: hard after a silence, else by a bounded step. Works run by run:
 * a run holds as many bits as sample points fall into it.
 */
final class StuffedBits implements LineCoding {
    /** Where in the bit its level is taken: common practice is 75 to 87.5 %; no source. */
    static final double SAMPLE_POINT = 0.75;
    /** Largest step of the clock at one edge, in bits (synchronisation jump width). */
    static final double JUMP_WIDTH = 0.25;
    /** A tick, in bits, that is made up for; a found one may be far too long where all edges lie on the bit clock. */
    private static final double MOST_TICK = 0.1;
    /** A recessive run of so many bits cannot be inside a frame: the next edge sets the clock anew. */
    private static final int SILENCE_BITS = 6;

    private final double bitPicos;
    private final double bitsPerPico;
    private final int idleLevel;
    private final double dominantEndPicos;
    private final BitRunSink sink;
    private final BitRuns out = new BitRuns();

    /** Clock: instant at which the dominant bit that the last synchronising edge opened has begun. */
    private long anchorPicos;
    private boolean anchored;
    /** Sample points passed since the anchor. */
    private int sampled;
    /** The stretch of one level that is open: its first edge and what was filtered there. */
    private int openLevel;
    private long openEdgePicos;
    private int openGlitches;
    /** The last run that was sampled; held until the next one is, since an unsampled stretch does not end it. */
    private int runLevel;
    private long runEdgePicos;
    private int runBits;
    private int runGlitches;
    private long dropped;

    /** @param finding rate, polarity and the line's usual asymmetry */
    StuffedBits(LineFinding finding, BitRunSink sink) {
        this.bitPicos = finding.bitPicos();
        this.bitsPerPico = 1 / bitPicos;
        this.idleLevel = finding.idleLevel();
        // A probe or threshold that cuts dominant bits short, and a tick that may do so, eat the margin before the
        // sample point and are taken out; what lengthens them needs nothing, since the sample comes late.
        double tick = Math.min(finding.tickPicos(), MOST_TICK * bitPicos);
        this.dominantEndPicos = Math.max(-0.3 * bitPicos, Math.min(0, finding.asymmetryPicos()) - tick);
        this.sink = sink;
    }

    @Override
    public void begin(long atPicos, int level) {
        anchorPicos = atPicos;
        anchored = false;
        sampled = 0;
        openLevel = level == idleLevel ? 1 : 0;
        openEdgePicos = atPicos;
        openGlitches = 0;
        runBits = 0;
        out.count = 0;
        sink.begin(atPicos);
    }

    @Override
    public void changes(long[] atPicos, byte[] level, int[] glitches, int count) {
        for (int i = 0; i < count; i++) {
            long at = atPicos[i];
            int noise = glitches[i];
            if (level[i] == idleLevel) recessive(at, noise);
            else dominant(at, noise);
        }
        flush();
    }

    /** A dominant run ends: its bits are the sample points since the last synchronising edge. */
    private void recessive(long at, int noise) {
        int now = (int) ((at - dominantEndPicos - anchorPicos) * bitsPerPico + (1 - SAMPLE_POINT));
        close(0, now - sampled, at, noise);
        sampled = Math.max(now, sampled);
    }

    /** A recessive run ends with the edge that sets the clock. */
    private void dominant(long at, int noise) {
        double bits = (at - anchorPicos) * bitsPerPico;
        int now = (int) Math.min(bits + (1 - SAMPLE_POINT), BitRuns.LONGEST);
        int run = now - sampled;
        close(1, run, at, noise);
        if (run >= SILENCE_BITS || !anchored) {
            anchorPicos = at;
            anchored = true;
        } else {
            double early = bits - now;
            double step = early < -JUMP_WIDTH ? -JUMP_WIDTH : Math.min(early, JUMP_WIDTH);
            anchorPicos += (long) ((now + step) * bitPicos);
        }
        sampled = 0;
    }

    /** Ends the open stretch of {@code level} with an edge. Without a sample point in it, it never was. */
    private void close(int level, int bits, long at, int noise) {
        openGlitches += noise >>> 16 << 16;
        if (bits <= 0) {
            dropped++;
            runGlitches += 1 << 16;
        } else if (runBits == 0 || level == runLevel) {
            join(level, bits);
        } else {
            emit();
            runLevel = level;
            runEdgePicos = openEdgePicos;
            runBits = Math.min(bits, BitRuns.LONGEST);
            runGlitches = openGlitches;
        }
        openLevel = 1 - level;
        openEdgePicos = at;
        openGlitches = noise & 0xFFFF;
    }

    private void join(int level, int bits) {
        if (runBits == 0) {
            runLevel = level;
            runEdgePicos = openEdgePicos;
            runGlitches = openGlitches;
        } else {
            runGlitches += openGlitches & 0x7FFF_0000;
        }
        runBits = Math.min(runBits + bits, BitRuns.LONGEST);
    }

    private void emit() {
        int i = out.count;
        out.edgePicos[i] = runEdgePicos;
        out.bits[i] = runBits;
        out.level[i] = (byte) runLevel;
        out.glitches[i] = runGlitches;
        out.count = i + 1;
        if (out.count == BitRuns.CAPACITY) flush();
    }

    private void flush() {
        if (out.count == 0) return;
        sink.runs(out);
        out.count = 0;
    }

    @Override
    public void stop(long atPicos) {
        int now = (int) Math.min((atPicos - anchorPicos) * bitsPerPico + (1 - SAMPLE_POINT), BitRuns.LONGEST);
        close(openLevel, now - sampled, atPicos, 0);
        if (runBits > 0) emit();
        flush();
        sink.stop(atPicos);
    }

    @Override
    public long dropped() {
        return dropped;
    }
}
