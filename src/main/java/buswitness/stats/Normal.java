package buswitness.stats;

import org.hipparchus.special.Erf;

/** The standard normal distribution. */
public final class Normal {
    private static final double ROOT_HALF = Math.sqrt(0.5);

    private Normal() {}

    /** Probability between {@code low} and {@code high}, in standard deviations; keeps its digits in both tails. */
    public static double between(double low, double high) {
        if (low > high) return 0;
        if (low > 0) return 0.5 * (Erf.erfc(low * ROOT_HALF) - Erf.erfc(high * ROOT_HALF));
        if (high < 0) return 0.5 * (Erf.erfc(-high * ROOT_HALF) - Erf.erfc(-low * ROOT_HALF));
        return 0.5 * (Erf.erf(high * ROOT_HALF) - Erf.erf(low * ROOT_HALF));
    }
}
