package buswitness.compare;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;

/** Numbers in the sentences of a comparison. */
final class Words {
    private Words() {}

    /** Four significant digits, no exponent. */
    static String number(double value) {
        if (Double.isNaN(value)) return "unknown";
        if (value == Math.rint(value) && Math.abs(value) < 1e12) return sign(String.format(Locale.ROOT, "%.0f", value));
        BigDecimal d = new BigDecimal(value).round(new MathContext(4)).stripTrailingZeros();
        return sign(d.scale() < 0 ? d.setScale(0).toPlainString() : d.toPlainString());
    }

    static String with(double value, String unit) {
        return unit.isEmpty() ? number(value) : number(value) + "\u00A0" + unit;
    }

    /** As a paper says it, so that two that differ never read alike: ten significant digits, no exponent. */
    static String exactly(double value, String unit) {
        String text = Double.isNaN(value) || Double.isInfinite(value) ? number(value)
                : new BigDecimal(value).round(new MathContext(10)).stripTrailingZeros().toPlainString();
        return sign(text) + (unit.isEmpty() ? "" : "\u00A0" + unit);
    }

    /** To the second digit of its standard error. */
    static String within(double value, double error, String unit) {
        if (!(error > 0)) return with(value, unit);
        int decimals = (int) Math.max(0, Math.min(9, 1 - Math.floor(Math.log10(error))));
        return sign(String.format(Locale.ROOT, "%." + decimals + "f\u00A0±\u00A0%." + decimals + "f", value, error))
                + (unit.isEmpty() ? "" : "\u00A0" + unit);
    }

    private static String sign(String text) {
        return text.replace('-', '\u2212');
    }
}
