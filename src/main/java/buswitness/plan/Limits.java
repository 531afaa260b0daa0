package buswitness.plan;

import java.util.Locale;

/**
 * Verdicts against limits. A value passes where it lies inside by twice its standard uncertainty, fails where it lies
 * outside by as much, and is undecided between (JCGM 106:2012, 8.3, guard band on both sides; coverage factor 2, about
 * 95 %). An exact value (a count, a single bit) is compared as it is.
 */
final class Limits {
    static final double COVERAGE = 2;

    private Limits() {}

    /** @param low lowest that passes, may be infinite; @param high likewise; both pass themselves */
    static Outcome judge(double value, double uncertainty, double low, double high) {
        if (Double.isNaN(value) || Double.isNaN(uncertainty)) return Outcome.UNDECIDED;
        double half = COVERAGE * uncertainty;
        // Decimal limits such as 0.1 s and sums of steps must meet themselves in binary.
        double slack = 1e-9 * Math.max(Math.abs(value), 1e-3);
        if (value - half >= low - slack && value + half <= high + slack) return Outcome.PASS;
        if (value + half < low - slack || value - half > high + slack) return Outcome.FAIL;
        return Outcome.UNDECIDED;
    }

    /** {@code 12.31 ± 0.05 km/h}: value and standard uncertainty to its second digit; bare where it is exact. */
    static String text(double value, double uncertainty, String unit) {
        String tail = unit.isEmpty() ? "" : "\u00A0" + unit;
        if (Double.isNaN(value)) return "nothing measured";
        if (!(uncertainty > 0)) return number(value) + tail;
        int decimals = (int) Math.max(0, Math.min(9, 1 - Math.floor(Math.log10(uncertainty))));
        return fixed(value, decimals) + "\u00A0±\u00A0" + fixed(uncertainty, decimals) + tail;
    }

    /** Up to six significant digits, no trailing zeros, never an exponent. */
    static String number(double value) {
        if (Double.isInfinite(value)) return value > 0 ? "any" : "none";
        if (value == Math.rint(value) && Math.abs(value) < 1e12) return minus(String.format(Locale.ROOT, "%.0f", value));
        java.math.BigDecimal d = new java.math.BigDecimal(value).round(new java.math.MathContext(6)).stripTrailingZeros();
        return minus(d.toPlainString());
    }

    private static String fixed(double value, int decimals) {
        return minus(String.format(Locale.ROOT, "%." + decimals + "f", value));
    }

    private static String minus(String text) {
        return text.replace('-', '\u2212');
    }

    static String seconds(double s) {
        return Math.abs(s) < 1 && s != 0 ? number(s * 1e3) + "\u00A0ms" : number(s) + "\u00A0s";
    }
}
