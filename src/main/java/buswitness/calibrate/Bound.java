package buswitness.calibrate;

import org.hipparchus.distribution.continuous.BetaDistribution;

/** Exact bounds on a share (C. J. Clopper, E. S. Pearson, Biometrika 26, 1934, 404-413). */
final class Bound {
    private Bound() {}

    /** One-sided upper bound at 95 %: with {@code hits} of {@code trials} a larger share has less than 5 % chance. */
    static double upper(long hits, long trials) {
        if (trials == 0) return Double.NaN;
        return hits == trials ? 1 : above(hits, trials, 0.95);
    }

    /** Two-sided interval at 95 %, lower end. */
    static double low(long hits, long trials) {
        if (trials == 0) return Double.NaN;
        return hits == 0 ? 0 : new BetaDistribution(hits, trials - hits + 1, 1e-13).inverseCumulativeProbability(0.025);
    }

    /** Two-sided interval at 95 %, upper end. */
    static double high(long hits, long trials) {
        if (trials == 0) return Double.NaN;
        return hits == trials ? 1 : above(hits, trials, 0.975);
    }

    private static double above(long hits, long trials, double share) {
        return new BetaDistribution(hits + 1, trials - hits, 1e-13).inverseCumulativeProbability(share);
    }
}
