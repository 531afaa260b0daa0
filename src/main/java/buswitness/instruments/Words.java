package buswitness.instruments;

import buswitness.frames.MessageKey;
import java.util.Locale;

/** Figures as a customer reads them. */
final class Words {
    private Words() {}

    /** {@code 87.5 °C}, three significant digits at least where it matters, no trailing zero. */
    static String value(double value, String unit) {
        return number(value) + (unit.isEmpty() ? "" : " " + unit);
    }

    /** {@code 62 ± 0.5 °C}; the spread is left out where there is none. */
    static String value(double value, double spread, String unit) {
        if (!(spread > 0)) return value(value, unit);
        return number(value) + " ± " + number(spread) + (unit.isEmpty() ? "" : " " + unit);
    }

    static String number(double value) {
        double size = Math.abs(value);
        String format = size >= 100 ? "%.0f" : size >= 1 || size == 0 ? "%.1f" : "%.2g";
        String text = String.format(Locale.ROOT, format, value);
        return text.contains(".") && !text.contains("e") ? text.replaceAll("0+$", "").replaceAll("\\.$", "") : text;
    }

    /** {@code 99.5 %}. */
    static String percent(double share) {
        return number(share * 100) + " %";
    }

    /** {@code 50 ± 2.5 %}. */
    static String percent(double share, double error) {
        return number(share * 100) + " ± " + number(error * 100) + " %";
    }

    static String seconds(double seconds) {
        return number(seconds) + " s";
    }

    static String times(int count) {
        return count == 1 ? "once" : count == 2 ? "twice" : count + " times";
    }

    static String message(long key) {
        return "message " + MessageKey.text(key);
    }
}
