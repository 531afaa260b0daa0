package buswitness.senders;

import buswitness.stats.LineFit;

/**
 * Error of a line's slope through block means whose own errors are known, when a clock that wanders bends the line: the
 * formal error, widened by the scatter the blocks show beyond their errors and by how far neighbours move together.
 */
final class WanderError {
    private static final double TOGETHER = 0.3;

    private WanderError() {}

    /** How many times larger than the formal error the slope's error is, at least 1. {@code weight} is 1 / variance. */
    static double factor(double[] x, double[] y, double[] weight, int n, LineFit line) {
        if (n < 4) return 1;
        double chi = 0;
        double lag = 0;
        double square = 0;
        double before = 0;
        for (int k = 0; k < n; k++) {
            double r = y[k] - line.at(x[k]);
            chi += weight[k] * r * r;
            square += r * r;
            if (k > 0) lag += r * before;
            before = r;
        }
        // A fitted line leaves residuals of white noise slightly anti-correlated, by about 2 / n.
        double together = Math.max(0, Math.min(0.9, (square > 0 ? lag / square : 0) + 2.0 / n));
        return Math.sqrt(Math.max(1, chi / (n - 2)) * (together > TOGETHER ? (1 + together) / (1 - together) : 1));
    }

    /** Formal standard error of the slope. */
    static double formal(double[] x, double[] weight, int n, LineFit line) {
        double xx = 0;
        for (int k = 0; k < n; k++) xx += weight[k] * (x[k] - line.centre()) * (x[k] - line.centre());
        return Math.sqrt(1 / xx);
    }
}
