package buswitness.senders;

import buswitness.stats.LineFit;
import buswitness.stats.Robust;

/**
 * Period of one unbroken comb: least squares of sharp releases on tooth number, wild ones down-weighted. Its error
 * adds to the scatter's share ({@code sd(T) = sqrt(12) s / N^1.5}) a floor for the clock's wander, taken from the
 * comb itself: the spread of the periods of blocks beyond what their scatter explains.
 */
record ClockFit(double period, double periodError, double anchor, double residual, int count) {
    private static final int MOST_BLOCKS = 12;
    private static final int FEWEST_IN_BLOCK = 6;

    static ClockFit of(MessageFrames frames, Comb comb, double walk) {
        int n = 0;
        double[] x = new double[comb.size];
        double[] y = new double[comb.size];
        for (int i = 0; i < comb.size; i++) {
            if (!comb.sharp[i]) continue;
            x[n] = comb.tooth[i];
            y[n++] = frames.at[comb.member[i]];
        }
        if (n < 3) {
            n = comb.size;
            for (int i = 0; i < n; i++) {
                x[i] = comb.tooth[i];
                y[i] = frames.at[comb.member[i]];
            }
        }
        LineFit line = LineFit.robust(x, y, n);
        double span = Math.max(1, x[n - 1] - x[0]);
        // A phase that walks: the mean of its steps is known to sqrt(walk / steps).
        double square = walk > 0 ? walk / span : square(line.slopeError());
        square += wander(x, y, n, line);
        double error = Math.sqrt(square);
        return new ClockFit(line.slope(), error > 0 ? error : Double.NaN, line.at(0), line.residual(), n);
    }

    /** Variance of the mean period that the scatter of block periods shows beyond their own errors. */
    private static double wander(double[] x, double[] y, int n, LineFit line) {
        int blocks = Math.min(MOST_BLOCKS, n / FEWEST_IN_BLOCK);
        if (blocks < 3) return 0;
        double[] slope = new double[blocks];
        double own = 0;
        int good = 0;
        double[] bx = new double[n / blocks + 1];
        double[] by = new double[n / blocks + 1];
        for (int b = 0; b < blocks; b++) {
            int from = (int) ((long) n * b / blocks);
            int until = (int) ((long) n * (b + 1) / blocks);
            for (int i = from; i < until; i++) {
                bx[i - from] = x[i] - x[from];
                by[i - from] = y[i] - line.at(x[i]);
            }
            LineFit fit = LineFit.robust(bx, by, until - from);
            if (Double.isNaN(fit.slope())) continue;
            slope[good++] = fit.slope();
            own += square(fit.slopeError());
        }
        if (good < 3) return 0;
        double spread = Robust.spread(slope, good, Robust.median(slope, good));
        double mean = 0;
        for (int i = 0; i < good; i++) mean += slope[i] / good;
        double variance = 0;
        for (int i = 0; i < good; i++) variance += square(slope[i] - mean) / (good - 1);
        double lag = 0;
        for (int i = 1; i < good; i++) lag += (slope[i] - mean) * (slope[i - 1] - mean) / (good - 1);
        double correlated = variance > 0 ? Math.max(0, Math.min(0.9, lag / variance)) : 0;
        double excess = Math.max(variance, spread * spread) - own / good;
        return Math.max(0, excess) / good * (1 + correlated) / (1 - correlated);
    }

    private static double square(double v) {
        return v * v;
    }
}
