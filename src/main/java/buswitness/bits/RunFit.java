package buswitness.bits;

/** How well one bit length explains the run lengths of settled changes; sums only, nothing kept per run. */
final class RunFit {
    private final double bit;
    private final double longest;
    private final double[] cos = new double[2];
    private final double[] sin = new double[2];
    private final int[] runs = new int[2];
    private int longer;
    /** Bursts of whole-bit runs: bits against duration between changes of one kind. */
    private double bitsTimesPicos;
    private double bitsSquared;

    RunFit(double bitPicos, double longestRunBits) {
        this.bit = bitPicos;
        this.longest = longestRunBits;
    }

    /** Settled changes in time order; may be called again for another stretch. */
    void add(long[] at, byte[] level, int count) {
        double perPico = 1 / bit;
        long burstAt = 0;
        int burstBits = 0;
        long lastAt = 0;
        int lastBits = 0;
        boolean inBurst = false;
        for (int i = 0; i + 1 < count; i++) {
            double bits = (at[i + 1] - at[i]) * perPico;
            if (bits > longest) {
                longer++;
                endBurst(lastBits, lastAt - burstAt);
                inBurst = false;
                lastBits = 0;
                continue;
            }
            int kind = level[i];
            double turn = 2 * Math.PI * bits;
            cos[kind] += Math.cos(turn);
            sin[kind] += Math.sin(turn);
            runs[kind]++;
            if (!inBurst) {
                // A burst is measured between changes to level 1, so that asymmetry drops out.
                if (kind != 1) continue;
                inBurst = true;
                burstAt = at[i];
                burstBits = 0;
            } else if (kind == 1) {
                // The last such change of a burst is left out: it may be the acknowledge of another node.
                lastAt = at[i];
                lastBits = burstBits;
            }
            burstBits += (int) Math.rint(bits);
        }
        endBurst(lastBits, lastAt - burstAt);
    }

    private void endBurst(int bits, long picos) {
        if (bits < 8) return;
        bitsTimesPicos += (double) bits * picos;
        bitsSquared += (double) bits * bits;
    }

    int count() {
        return runs[0] + runs[1];
    }

    /** Bit length that fits the bursts best; NaN without one. */
    double measureBit() {
        return bitsTimesPicos / bitsSquared;
    }

    /** Half the angle between the resultants of the two levels: how far level-1 runs are too long, in turns. */
    private double halfTurn() {
        double c = cos[1] * cos[0] + sin[1] * sin[0];
        double s = sin[1] * cos[0] - cos[1] * sin[0];
        return Math.atan2(s, c) / (4 * Math.PI);
    }

    /**
     * Resultant along phase 0 once the asymmetry is taken out, -1 to 1; 0 where the bit explains too few runs: one in
     * ten is longer than five bits on a busy bus, one in five in a storm of errors, and most are where the recorder's
     * tick is taken for the bit.
     */
    double score() {
        int n = count();
        if (n < 8 || runs[0] == 0 || runs[1] == 0 || longer > n / 3) return 0;
        double a = 2 * Math.PI * halfTurn();
        double along = cos[1] * Math.cos(a) + sin[1] * Math.sin(a) + cos[0] * Math.cos(a) - sin[0] * Math.sin(a);
        return along / n;
    }

    /** How much a dominant run is longer than its bits, picoseconds. */
    double asymmetry(int idleLevel) {
        if (count() < 8) return 0;
        return (idleLevel == 1 ? -1 : 1) * halfTurn() * bit;
    }

    /** Circular standard deviation of one run's length (Mardia and Jupp 2000, clause 2.3.1), picoseconds. */
    double jitter() {
        double r = Math.max(1e-12, Math.min(1 - 1e-12, score()));
        return Math.sqrt(-2 * Math.log(r)) / (2 * Math.PI) * bit;
    }
}
