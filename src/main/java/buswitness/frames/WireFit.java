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
    /** Senders' clocks lie within this share of the line's usual bit (resonators: 0.5 % at most). */
    private static final double CLOCK_SHARE = 0.004;
    /** An edge's place that turns so often through the tick within a frame has been everywhere. */
    private static final double FEWEST_TURNS = 2;
    /** Jitter variance in ticks squared above which edges are independent: the harmonic is damped to a hundredth. */
    private static final double DITHERED = 0.12;
    /** Twice the scatter, in ticks squared, that rounding alone can give: such a frame has jitter enough of its own. */
    private static final double MOST_SCATTER = 0.5;
    private static final long FEWEST_POOLED = 30;
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

    private int firstN;
    private int lastN;

    private final double bitTicks;
    private final double nominalPicos;
    private final double tickPicos;
    /** Scatter about the fits of earlier frames: residual squares and degrees of freedom. */
    private double pooledSquares;
    private long pooledFreedom;

    private double bitPicos;
    private double bitError;
    private double shiftPicos;
    private double shiftError;

    /**
     * @param bitPicos     the line's usual bit
     * @param nominalPicos the bit that the edges' misses are counted from
     * @param tickPicos    0 where unknown
     */
    WireFit(double bitPicos, double nominalPicos, double tickPicos) {
        this.bitTicks = tickPicos > 0 ? bitPicos / tickPicos : 0;
        this.nominalPicos = nominalPicos;
        this.tickPicos = tickPicos;
    }

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
        if (count0 + count1 == 0) firstN = n;
        lastN = n;
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
     * (tick / sqrt(12)). Where tick and bit clock are in step and jitter does not part them, neither holds: the tick
     * then errs on all edges of a frame together, and the scatter of a frame goes with its error, so that weights made
     * of it would bend every mean. There the errors come from the tick and the places of the edges alone.
     *
     * @return whether there were edges enough
     */
    boolean solve() {
        int count = count0 + count1;
        if (count < FEWEST_EDGES || count0 < FEWEST_OF_A_KIND || count1 < FEWEST_OF_A_KIND) return false;
        double spread = nn0 - n0 * n0 / count0 + nn1 - n1 * n1 / count1;
        double product = ny0 - n0 * y0 / count0 + ny1 - n1 * y1 / count1;
        double total = yy - y0 * y0 / count0 - y1 * y1 / count1;
        if (!(spread > 0)) return false;
        double apart = n1 / count1 - n0 / count0;
        bitPicos = product / spread;
        shiftPicos = y1 / count1 - y0 / count0 - bitPicos * apart;
        double left = Math.max(0, total - bitPicos * product);
        double shiftPart = 1.0 / count0 + 1.0 / count1 + apart * apart / spread;
        int span = lastN - firstN;
        double own = left / (count - FITTED);
        double tickSquare = tickPicos * tickPicos;
        double pooled = pooledFreedom < FEWEST_POOLED ? own : pooledSquares / pooledFreedom;
        double jitter = Math.max(0, pooled - tickVariance());
        if (inStep(span) && jitter < DITHERED * tickSquare && own < MOST_SCATTER * tickSquare) {
            errorsInStep(jitter / tickSquare, spread, shiftPart, span);
        } else {
            // Few edges know their own scatter badly: the deviate of a fit with f degrees of freedom is Student's t,
            // whose variance is f / (f - 2): the scatter over (f - 2) makes the stated error a standard deviation.
            double variance = Math.max(left / (count - FITTED - 2), tickVariance());
            bitError = Math.sqrt(variance / spread);
            shiftError = Math.sqrt(variance * shiftPart);
        }
        pooledSquares += Math.min(left, MOST_SCATTER * tickSquare * (count - FITTED));
        pooledFreedom += count - FITTED;
        return true;
    }

    private double tickVariance() {
        return tickPicos * tickPicos / 12;
    }

    /** Whether an edge's place within the tick turns too slowly along a frame for the tick's error to average out. */
    private boolean inStep(int span) {
        return tickPicos > 0 && Math.abs(bitTicks - Math.rint(bitTicks)) < CLOCK_SHARE * bitTicks + FEWEST_TURNS / span;
    }

    /**
     * Rounding is a sawtooth of the place within the tick; its first harmonic has variance tick^2 / (2 pi^2) (B. Widrow
     * and I. Kollar, Quantization Noise, 2008, chapter 2), damped by jitter of variance j as exp(-4 pi^2 j). A slope
     * over edges spread evenly along a span L sees it at worst 6 j1(u) / L strong, j1 the spherical Bessel function, at
     * most 0.436. The two kinds of edge err against each other by up to twice their independent error (measured).
     */
    private void errorsInStep(double jitter, double spread, double shiftPart, int span) {
        double damping = Math.exp(-4 * Math.PI * Math.PI * jitter);
        double independent = tickVariance() + jitter * tickPicos * tickPicos;
        double common = tickPicos * tickPicos / (2 * Math.PI * Math.PI) * damping;
        double worst = 6 * 0.436 / span;
        bitError = Math.sqrt(Math.max(independent / spread, common * worst * worst));
        shiftError = Math.sqrt(independent * shiftPart) * (1 + Math.sqrt(Math.sqrt(damping)));
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
