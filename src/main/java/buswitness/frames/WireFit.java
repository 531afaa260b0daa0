package buswitness.frames;

/**
 * Least squares over the edges that one transmitter alone drives: {@code edge = t0 + n * bit + shift * [ends a dominant
 * run]}. The two kinds of edge are two groups with one slope and an offset each (analysis of covariance; N. R. Draper
 * and H. Smith, Applied Regression Analysis, 3rd ed. 1998, clause 14), so running sums are enough; times enter as what
 * they miss of the nominal bit clock, which keeps the sums small.
 */
final class WireFit {
    /** Fewer edges, or fewer of either kind, give no fit. */
    static final int FEWEST_EDGES = 6;
    private static final int FEWEST_OF_A_KIND = 2;
    /** More than a stuffed frame of 8 bytes can have. */
    private static final int MOST_EDGES = 256;
    /** Slope and two offsets. */
    private static final int FITTED = 3;

    /** Sums for edges that open a dominant run (0) and edges that end one (1), as plain fields for speed. */
    private int count0;
    private int count1;
    private double n0;
    private double n1;
    private double nn0;
    private double nn1;
    private double y0;
    private double y1;
    private double yy;
    private double ny0;
    private double ny1;

    /** Edges as added, for the tick's own error: n, and kind in the lowest bit. */
    private final int[] edges = new int[MOST_EDGES];

    private final TickError tickError = new TickError();

    private double bitPicos;
    private double bitError;
    private double shiftPicos;
    private double shiftError;

    void clear() {
        count0 = count1 = 0;
        n0 = n1 = nn0 = nn1 = y0 = y1 = yy = ny0 = ny1 = 0;
    }

    /**
     * @param endsDominant whether the line goes recessive here
     * @param n            bits from start of frame to this edge, stuff bits included
     * @param missPicos    edge minus start of frame minus {@code n} nominal bits
     */
    void add(boolean endsDominant, int n, double missPicos) {
        int count = count0 + count1;
        if (count == MOST_EDGES) return;
        edges[count] = n << 1 | (endsDominant ? 1 : 0);
        double nn = (double) n * n;
        double ny = n * missPicos;
        yy += missPicos * missPicos;
        if (endsDominant) {
            count1++;
            n1 += n;
            nn1 += nn;
            y1 += missPicos;
            ny1 += ny;
        } else {
            count0++;
            n0 += n;
            nn0 += nn;
            y0 += missPicos;
            ny0 += ny;
        }
    }

    /**
     * Solves. One edge's error is taken from the scatter about the fit, but never below that of the recorder's tick
     * (tick / sqrt(12)), nor below what the tick does to all edges together where it is in step with the bit clock:
     * see {@link TickError}.
     *
     * @param nominalPicos the bit that the edges' misses were counted from
     * @param tickPicos    0 where unknown
     * @return whether there were edges enough
     */
    boolean solve(double nominalPicos, double tickPicos) {
        int count = count0 + count1;
        if (count < FEWEST_EDGES || count0 < FEWEST_OF_A_KIND || count1 < FEWEST_OF_A_KIND) return false;
        double spread = nn0 - n0 * n0 / count0 + nn1 - n1 * n1 / count1;
        double product = ny0 - n0 * y0 / count0 + ny1 - n1 * y1 / count1;
        double total = yy - y0 * y0 / count0 - y1 * y1 / count1;
        if (!(spread > 0)) return false;
        double slope = product / spread;
        double apart = n1 / count1 - n0 / count0;
        bitPicos = slope;
        shiftPicos = y1 / count1 - y0 / count0 - slope * apart;
        double left = Math.max(0, total - slope * product);
        double tickVariance = tickPicos * tickPicos / 12;
        // Few edges know their own scatter badly: the deviate of a fit with f degrees of freedom is Student's t, whose
        // variance is f / (f - 2), so the scatter over (f - 2) makes the stated error a standard deviation.
        double variance = Math.max(left / (count - FITTED - 2), tickVariance);
        double bitVariance = variance / spread;
        double shiftVariance = variance * (1.0 / count0 + 1.0 / count1 + apart * apart / spread);
        if (tickPicos > 0) {
            double ticks2 = tickPicos * tickPicos;
            // A low estimate, since jitter is what makes a coarse tick harmless.
            double jitter = left / (count - FITTED) * (1 - Math.min(1, 2 * Math.sqrt(2.0 / (count - FITTED))))
                    - tickVariance;
            if (jitter < TickError.DITHERED * ticks2) {
                tickError.set(edges, count, (nominalPicos + slope) / tickPicos, Math.sqrt(bitVariance / ticks2),
                        shiftPicos / tickPicos, Math.max(0, jitter / ticks2));
                tickError.weigh(n0 / count0, n1 / count1, count0, count1, spread);
                bitVariance = Math.max(bitVariance, tickError.bitVariance() * ticks2);
                shiftVariance = Math.max(shiftVariance, tickError.shiftVariance() * ticks2);
            }
        }
        bitError = Math.sqrt(bitVariance);
        shiftError = Math.sqrt(shiftVariance);
        return true;
    }

    /** How much one bit is longer than the nominal one, picoseconds. */
    double bitExcessPicos() {
        return bitPicos;
    }

    double bitErrorPicos() {
        return bitError;
    }

    /** How much later dominant runs end than whole bits would have it, picoseconds. */
    double shiftPicos() {
        return shiftPicos;
    }

    double shiftErrorPicos() {
        return shiftError;
    }
}
