package buswitness.senders;

import buswitness.stats.LineFit;

/**
 * Drift of one train against another while both ran: a line through the differences of their mean deviations, block by
 * block. What both oscillators share cancels; what is left beyond the jitter's share widens the error.
 */
record PhaseDifference(double overlapSeconds, double driftPpm, double driftPpmError, double travelSeconds) {
    private static final int MOST_BLOCKS = 24;
    private static final int FEWEST_IN_BLOCK = 3;
    private static final double FREE_PLACE = 0.2;
    private static final double QUEUED_PLACE = 1;
    private static final PhaseDifference NONE = new PhaseDifference(0, Double.NaN, Double.NaN, Double.NaN);

    /**
     * @param a  one train
     * @param na its nominal period: deviations count from there
     */
    static PhaseDifference of(MessageFrames fa, Train a, double na, MessageFrames fb, Train b, double nb) {
        Comb ca = longest(a);
        Comb cb = longest(b);
        double from = Math.max(fa.at[ca.member[0]], fb.at[cb.member[0]]);
        double until = Math.min(fa.at[ca.member[ca.size - 1]], fb.at[cb.member[cb.size - 1]]);
        double overlap = until - from;
        double rough = Math.max(a.meanPeriod, b.meanPeriod);
        if (overlap < 4 * rough) return NONE;
        if (Double.isNaN(na) || Double.isNaN(nb)) {
            if (Math.abs(a.meanPeriod / b.meanPeriod - 1) > 0.005) {
                return new PhaseDifference(overlap, Double.NaN, Double.NaN, Double.NaN);
            }
            na = nb = a.meanPeriod;
        }
        int blocks = (int) Math.max(2, Math.min(MOST_BLOCKS, overlap / rough / (2 * FEWEST_IN_BLOCK)));
        double[][] ma = means(fa, ca, a, na, from, until, blocks);
        double[][] mb = means(fb, cb, b, nb, from, until, blocks);
        double[] x = new double[blocks];
        double[] y = new double[blocks];
        double[] w = new double[blocks];
        int n = 0;
        for (int k = 0; k < blocks; k++) {
            if (ma[1][k] < 2 || mb[1][k] < 2) continue;
            x[n] = from + (k + 0.5) * overlap / blocks;
            y[n] = mb[0][k] / mb[1][k] - ma[0][k] / ma[1][k];
            w[n++] = 1 / (noise(a, ca) / ma[1][k] + noise(b, cb) / mb[1][k]);
        }
        // The lines themselves run at the trains' own deviations; the blocks tell what is to be added.
        double lines = fit(b, cb).period() / nb - fit(a, ca).period() / na;
        if (n < 2) return new PhaseDifference(overlap, Double.NaN, Double.NaN, Double.NaN);
        LineFit line = LineFit.weighted(x, y, w, n);
        double drift = lines + line.slope();
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (int k = 0; k < n; k++) {
            double phase = y[k] + lines * (x[k] - x[0]);
            low = Math.min(low, phase);
            high = Math.max(high, phase);
        }
        double place = Math.hypot(place(fa, a), place(fb, b)) / overlap;
        double blocksError = WanderError.formal(x, w, n, line) * WanderError.factor(x, y, w, n, line);
        double error = Math.hypot(blocksError, place);
        return new PhaseDifference(overlap, drift * 1e6, error * 1e6, high - low);
    }

    /**
     * How far a phase may move within its jitter for reasons other than its clock: queueing that beats with other
     * messages moves a comb by about its whole jitter over minutes where starts are all there is; free starts are
     * nearly free of it.
     */
    private static double place(MessageFrames f, Train t) {
        return (f.usesFreeStarts ? FREE_PLACE : QUEUED_PLACE) * t.jitter;
    }

    private static double noise(Train t, Comb c) {
        double j = Math.max(1e-6, t.jitter);
        // A phase that walks does not average out within a block.
        return j * j + t.walk * c.size;
    }

    private static ClockFit fit(Train t, Comb c) {
        return t.fits.get(t.combs.indexOf(c));
    }

    /**
     * Sums and counts of the deviations from the comb's own fitted line, wild ones left out. A line from its first to its
     * last frame will not do: one of them that waited tilts it, and a block's few frames need not lie about its middle.
     */
    private static double[][] means(MessageFrames f, Comb c, Train t, double nominal, double from, double until,
                                    int blocks) {
        double[][] m = new double[2][blocks];
        double period = fit(t, c).period();
        double origin = fit(t, c).anchor();
        CombSmoother smooth = t.smooth.get(t.combs.indexOf(c));
        for (int i = 0; i < c.size; i++) {
            double at = f.at[c.member[i]];
            if (!c.sharp[i] || at < from || at > until) continue;
            double tooth = smooth.timeOf(c.tooth[i]);
            if (Math.abs(at - tooth) > 4 * t.jitter + 1e-6) continue;
            int k = Math.min(blocks - 1, (int) ((at - from) / (until - from) * blocks));
            m[0][k] += at - (origin + c.tooth[i] * period);
            m[1][k]++;
        }
        return m;
    }

    private static Comb longest(Train t) {
        Comb longest = t.combs.get(0);
        for (Comb c : t.combs) if (c.size > longest.size) longest = c;
        return longest;
    }
}
