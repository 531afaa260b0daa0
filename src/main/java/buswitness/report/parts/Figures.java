package buswitness.report.parts;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.List;
import java.util.Locale;

/**
 * Numbers as people and programs read them; no-break spaces keep figure and unit together. Never depends on the
 * locale or on how a runtime prints a double.
 */
public final class Figures {
    private Figures() {}

    /** Picoseconds as seconds, exactly; six decimals at least, twelve at most. */
    public static String seconds(long picos) {
        long whole = Math.floorDiv(picos, 1_000_000_000_000L);
        String part = String.format(Locale.ROOT, "%012d", Math.floorMod(picos, 1_000_000_000_000L));
        int end = 12;
        while (end > 6 && part.charAt(end - 1) == '0') end--;
        return whole + "." + part.substring(0, end);
    }

    /** Rounded to significant digits, as a number a JSON writer prints plainly; null for NaN and infinities. */
    public static BigDecimal significant(double value, int digits) {
        if (Double.isNaN(value) || Double.isInfinite(value)) return null;
        return plain(new BigDecimal(value).round(new MathContext(digits, RoundingMode.HALF_EVEN)));
    }

    /** Rounded to decimals; null for NaN and infinities. */
    public static BigDecimal decimals(double value, int decimals) {
        if (Double.isNaN(value) || Double.isInfinite(value)) return null;
        return plain(new BigDecimal(value).setScale(decimals, RoundingMode.HALF_EVEN));
    }

    private static BigDecimal plain(BigDecimal value) {
        if (value.signum() == 0) return BigDecimal.ZERO;
        BigDecimal bare = value.stripTrailingZeros();
        return bare.scale() < 0 ? bare.setScale(0) : bare;
    }

    /** {@code 12 345} with a comma each three digits. */
    public static String count(long n) {
        return String.format(Locale.ROOT, "%,d", n);
    }

    /** {@code 1 frame}, {@code 3 frames}. */
    public static String count(long n, String one, String many) {
        return count(n) + " " + (n == 1 ? one : many);
    }

    public static String fixed(double value, int decimals) {
        BigDecimal rounded = decimals(value, decimals);
        if (rounded == null) return "unknown";
        return rounded.setScale(decimals, RoundingMode.UNNECESSARY).toPlainString().replace('-', '\u2212');
    }

    /** Three significant digits, no exponent: {@code 0.0042}, {@code 12.3}, {@code 40,000}. */
    public static String short3(double value) {
        BigDecimal rounded = significant(value, 3);
        if (rounded == null) return "unknown";
        return rounded.scale() == 0 ? String.format(Locale.ROOT, "%,d", rounded.toBigInteger()).replace('-', '\u2212')
                : rounded.toPlainString().replace('-', '\u2212');
    }

    /** Value and one standard error, both to the error's second digit: {@code +41.90 ± 0.21}. */
    public static String withError(double value, double error, boolean signed) {
        String sign = signed && value >= 0 ? "+" : "";
        if (Double.isNaN(value)) return "unknown";
        if (Double.isNaN(error) || error <= 0) return sign + short3(value);
        int decimals = (int) Math.max(0, Math.min(9, 1 - Math.floor(Math.log10(error))));
        return sign + fixed(value, decimals) + "\u00A0±\u00A0" + fixed(error, decimals);
    }

    /** Whole percents, one decimal near the ends where it tells: {@code 99.5 %}. */
    public static String percent(double share) {
        if (Double.isNaN(share)) return "unknown";
        double hundred = share * 100;
        int decimals = hundred > 0 && hundred < 10 || hundred > 90 && hundred < 100 ? 1 : 0;
        return fixed(hundred, decimals) + "\u00A0%";
    }

    /** A moment or stretch for reading: {@code 12.310 s}. */
    public static String moment(double seconds) {
        return fixed(seconds, 3) + "\u00A0s";
    }

    /** A length of time for reading: {@code 40 s}, {@code 12 min 30 s}, {@code 1 h 02 min}. */
    public static String span(double seconds) {
        if (Double.isNaN(seconds)) return "unknown";
        if (seconds < 120) return short3(seconds) + "\u00A0s";
        long whole = Math.round(seconds);
        if (whole < 3600) return whole / 60 + " min " + String.format(Locale.ROOT, "%02d s", whole % 60);
        return whole / 3600 + " h " + String.format(Locale.ROOT, "%02d min", whole % 3600 / 60);
    }

    /** {@code 125 kbit/s}. */
    public static String rate(double bitsPerSecond) {
        if (Double.isNaN(bitsPerSecond)) return "unknown";
        if (bitsPerSecond >= 1000) return short5(bitsPerSecond / 1000) + "\u00A0kbit/s";
        return short5(bitsPerSecond) + "\u00A0bit/s";
    }

    private static String short5(double value) {
        BigDecimal rounded = significant(value, 5);
        return rounded == null ? "unknown" : rounded.toPlainString();
    }

    /** {@code a, b and c}. */
    public static String list(List<String> items) {
        if (items.isEmpty()) return "none";
        if (items.size() == 1) return items.get(0);
        return String.join(", ", items.subList(0, items.size() - 1)) + " and " + items.get(items.size() - 1);
    }

    /** As {@link #list}, but no more than {@code most}, the rest counted. */
    public static String list(List<String> items, int most) {
        if (items.size() <= most) return list(items);
        return String.join(", ", items.subList(0, most)) + " and " + count(items.size() - most) + " more";
    }
}
