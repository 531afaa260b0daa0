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
    private static final int HARMONICS = 3;
    /** A harmonic whose phase turns more often than this within a frame averages out. */
    private static final double MOST_TURNS = 3;
    private static final double TWO_PI = 2 * Math.PI;

    private final double[] sums = new double[4 * HARMONICS];
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
        // The fitted bit is off by its own error, and just where the tick errs most it looks as if it did not.
        add(bitTicks);
        add(bitTicks - bitError);
        add(bitTicks + bitError);
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
        double bit = 0;
        double shift = 0;
        for (int h = 1; h <= HARMONICS; h++) {
            double share = Math.exp(-TWO_PI * TWO_PI * h * h * jitter) / (2 * Math.PI * Math.PI * h * h);
            int k = 4 * (h - 1);
            bit += share * (sums[k] * sums[k] + sums[k + 1] * sums[k + 1]);
            shift += share * (sums[k + 2] * sums[k + 2] + sums[k + 3] * sums[k + 3]);
        }
        bitVariance = Math.max(bitVariance, bit);
        shiftVariance = Math.max(shiftVariance, shift);
    }

    /** Weighted sums of the edges' phase vectors, for each harmonic: fitted bit, then fitted shift. */
    private void vectors(double turn) {
        double stepCos = Math.cos(turn);
        double stepSin = Math.sin(turn);
        double kindCos = Math.cos(TWO_PI * shiftTicks);
        double kindSin = Math.sin(TWO_PI * shiftTicks);
        double apart = meanN1 - meanN0;
        java.util.Arrays.fill(sums, 0);
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
            double c = c1;
            double s = s1;
            for (int h = 0; h < 4 * HARMONICS; h += 4) {
                sums[h] += slope * c;
                sums[h + 1] += slope * s;
                sums[h + 2] += shift * c;
                sums[h + 3] += shift * s;
                double next = c * c1 - s * s1;
                s = s * c1 + c * s1;
                c = next;
            }
        }
    }
}
