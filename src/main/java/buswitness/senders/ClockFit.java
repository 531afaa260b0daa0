package buswitness.senders;

import buswitness.stats.LineFit;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * Period of one unbroken comb: least squares of sharp releases on tooth number, wild ones down-weighted. Its error
 * is the jitter's share ({@code sd(T) = sqrt(12) s / N^1.5}) widened by the clock's wander as the comb itself shows it:
 * how far the means of blocks leave the line beyond their own errors, and together.
 */
record ClockFit(double period, double periodError, double anchor, double residual, int count) {
    private static final int MOST_BLOCKS = 16;
    private static final int QUARTERS = 4;
    /** Neighbouring quarters move together: their mean scatters more than that of independent ones. */
    private static final double NEIGHBOURS = 2;
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
        square *= square(wander(x, y, n, line));
        square += quarters(x, y, n, line);
        double error = Math.sqrt(square);
        return new ClockFit(line.slope(), error > 0 ? error : Double.NaN, line.at(0), line.residual(), n);
    }

    /**
     * Factor by which the blocks' mean residuals widen the error: 1 for white jitter, more for a clock that wanders.
     */
    private static double wander(double[] x, double[] y, int n, LineFit line) {
        int blocks = Math.min(MOST_BLOCKS, n / FEWEST_IN_BLOCK);
        if (blocks < 4) return 1;
        double[] residual = new double[n];
        for (int i = 0; i < n; i++) residual[i] = y[i] - line.at(x[i]);
        double scale = Robust.spread(residual, n, 0);
        double[] bx = new double[blocks];
        double[] by = new double[blocks];
        double[] weight = new double[blocks];
        double noise = neighbourNoise(residual, n);
        for (int b = 0; b < blocks; b++) {
            int from = (int) ((long) n * b / blocks);
            int until = (int) ((long) n * (b + 1) / blocks);
            int used = 0;
            for (int i = from; i < until; i++) {
                if (Math.abs(residual[i]) > 5 * scale) continue;
                bx[b] += x[i];
                by[b] += residual[i];
                used++;
            }
            if (used == 0) return 1;
            bx[b] /= used;
            by[b] /= used;
            weight[b] = used / noise;
        }
        return WanderError.factor(bx, by, weight, blocks, LineFit.leastSquares(bx, by, blocks));
    }

    /** Variance of the mean period by the scatter of the quarters' periods, where it is clearly beyond their errors. */
    private static double quarters(double[] x, double[] y, int n, LineFit line) {
        if (n < QUARTERS * FEWEST_IN_BLOCK) return 0;
        double[] slope = new double[QUARTERS];
        double own = 0;
        double mean = 0;
        for (int q = 0; q < QUARTERS; q++) {
            int from = (int) ((long) n * q / QUARTERS);
            int until = (int) ((long) n * (q + 1) / QUARTERS);
            double[] qx = Arrays.copyOfRange(x, from, until);
            double[] qy = new double[until - from];
            for (int i = from; i < until; i++) qy[i - from] = y[i] - line.at(x[i]);
            LineFit fit = LineFit.robust(qx, qy, qx.length);
            slope[q] = fit.slope();
            own += square(fit.slopeError()) / QUARTERS;
            mean += slope[q] / QUARTERS;
        }
        double variance = 0;
        for (double v : slope) variance += square(v - mean) / (QUARTERS - 1);
        // Chi-square of 3 degrees of freedom reaches 4 times 3 with probability 0.007.
        return variance > 4 * own ? (variance - own) / QUARTERS * NEIGHBOURS : 0;
    }

    /**
     * The period's error where the comb is one of several of one timer: the scatter of few frames is itself uncertain, so
     * their jitter is taken to be no less than that of all.
     */
    double errorAmong(double jitter) {
        if (count >= QUARTERS * FEWEST_IN_BLOCK || !(jitter > 0)) return periodError;
        double formal = Math.sqrt(12) * jitter / Math.pow(count, 1.5);
        return periodError > formal ? periodError : formal;
    }

    /** Variance of the jitter alone, from neighbouring residuals: slow wander does not enter (von Neumann, 1941). */
    private static double neighbourNoise(double[] residual, int n) {
        double[] step = new double[n - 1];
        for (int i = 1; i < n; i++) step[i - 1] = residual[i] - residual[i - 1];
        double spread = Robust.spread(step, n - 1, 0);
        return Math.max(1e-14, spread * spread / 2);
    }

    private static double square(double v) {
        return v * v;
    }
}
