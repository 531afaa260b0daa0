package buswitness.frames;

/**
 * What the recorder's tick does to a fit when its edges do not fall evenly on the tick's phases. Rounding down is a
 * sawtooth of the edge's phase within the tick, with harmonics of variance {@code tick^2 / (2 pi^2 h^2)} that sum to
 * tick^2 / 12 (B. Widrow and I. Kollar, Quantization Noise, 2008, chapter 2). A fitted value is a weighted sum of edges;
 * with the frame's start at a random phase each harmonic adds its variance times the squared length of the weighted sum
 * of the edges' phase vectors. Jitter damps a harmonic by its characteristic function. Edges spread evenly over the
 * phases give the usual tick^2 / 12 an edge; edges in step give much more. Reusable; one thread.
 */
final class TickError {
    /** Jitter variance in ticks squared above which the first harmonic is damped to a hundredth. */
    static final double DITHERED = 0.12;
    /** The third and higher ones hold a fifth of the variance and are left to the usual tick / sqrt(12). */
    private static final int HARMONICS = 2;
    /** A harmonic whose phase turns more often than this within a frame averages out. */
    private static final double MOST_TURNS = 3;
    private static final double TWO_PI = 2 * Math.PI;

    private int[] edges;
    private int count;
    private double bitTicks;
    private double bitError;
    private double shiftTicks;
    private double jitter;
    private double meanN0;
    private double meanN1;
    private double offset0;
    private double offset1;
    private double perSpread;
    private double bitLength1;
    private double bitLength2;
    private double shiftLength1;
    private double shiftLength2;
    private double bitVariance;
    private double shiftVariance;

    /**
     * @param edges      bits from start of frame, doubled, plus 1 for an edge that ends a dominant run; in time order
     * @param bitTicks   fitted bit
     * @param bitError   its standard error as far as known
     * @param shiftTicks fitted shift of the edges that end dominant runs
     * @param jitter     variance of an edge beyond the tick's, ticks squared
     */
    void set(int[] edges, int count, double bitTicks, double bitError, double shiftTicks, double jitter) {
        this.edges = edges;
        this.count = count;
        this.bitTicks = bitTicks;
        this.bitError = bitError;
        this.shiftTicks = shiftTicks;
        this.jitter = jitter;
    }

    /** Means and counts of the two kinds of edge, and the sum of squares of n about the means; then the variances. */
    void weigh(double meanN0, double meanN1, int count0, int count1, double spread) {
        this.meanN0 = meanN0;
        this.meanN1 = meanN1;
        this.offset0 = -1.0 / count0;
        this.offset1 = 1.0 / count1;
        this.perSpread = 1 / spread;
        bitVariance = shiftVariance = 0;
        int span = (edges[count - 1] >>> 1) - (edges[0] >>> 1);
        if (!inStep(span)) return;
        add(bitTicks);
        // The fitted bit is off by its own error, and just where the tick errs most it looks as if it did not.
        double toward = Math.rint(bitTicks) - bitTicks;
        add(bitTicks + Math.copySign(Math.min(bitError, Math.abs(toward)), toward));
    }

    private boolean inStep(int span) {
        for (int h = 1; h <= HARMONICS; h++) {
            double turns = h * bitTicks;
            if (Math.abs(turns - Math.rint(turns)) * span < MOST_TURNS) return true;
        }
        return false;
    }

    /** Of the fitted bit, in ticks squared; 0 where the edges spread over the phases. */
    double bitVariance() {
        return bitVariance;
    }

    /** Of the fitted shift, in ticks squared; 0 where the edges spread over the phases. */
    double shiftVariance() {
        return shiftVariance;
    }

    private void add(double ticks) {
        vectors(TWO_PI * (ticks - Math.rint(ticks)));
        double first = share(1);
        double second = share(2);
        double bit = first * bitLength1 + second * bitLength2;
        double shift = first * shiftLength1 + second * shiftLength2;
        bitVariance = Math.max(bitVariance, bit);
        shiftVariance = Math.max(shiftVariance, shift);
    }

    private double share(int h) {
        return Math.exp(-TWO_PI * TWO_PI * h * h * jitter) / (2 * Math.PI * Math.PI * h * h);
    }

    /** Squared lengths of the weighted sums of the edges' phase vectors, for either harmonic. */
    private void vectors(double turn) {
        double stepCos = Math.cos(turn);
        double stepSin = Math.sin(turn);
        double kindCos = Math.cos(TWO_PI * shiftTicks);
        double kindSin = Math.sin(TWO_PI * shiftTicks);
        double apart = meanN1 - meanN0;
        double bc1 = 0;
        double bs1 = 0;
        double bc2 = 0;
        double bs2 = 0;
        double sc1 = 0;
        double ss1 = 0;
        double sc2 = 0;
        double ss2 = 0;
        double cos = 1;
        double sin = 0;
        int at = edges[0] >>> 1;
        for (int i = 0; i < count; i++) {
            int n = edges[i] >>> 1;
            for (; at < n; at++) {
                double c = cos * stepCos - sin * stepSin;
                sin = sin * stepCos + cos * stepSin;
                cos = c;
            }
            boolean ends = (edges[i] & 1) != 0;
            double c1 = ends ? cos * kindCos - sin * kindSin : cos;
            double s1 = ends ? sin * kindCos + cos * kindSin : sin;
            double slope = (n - (ends ? meanN1 : meanN0)) * perSpread;
            double shift = (ends ? offset1 : offset0) - apart * slope;
            double c2 = c1 * c1 - s1 * s1;
            double s2 = 2 * c1 * s1;
            bc1 += slope * c1;
            bs1 += slope * s1;
            bc2 += slope * c2;
            bs2 += slope * s2;
            sc1 += shift * c1;
            ss1 += shift * s1;
            sc2 += shift * c2;
            ss2 += shift * s2;
        }
        bitLength1 = bc1 * bc1 + bs1 * bs1;
        bitLength2 = bc2 * bc2 + bs2 * bs2;
        shiftLength1 = sc1 * sc1 + ss1 * ss1;
        shiftLength2 = sc2 * sc2 + ss2 * ss2;
    }
}
