package buswitness.clashes;

import java.util.Locale;

/** Figures as text, the same on every machine. */
final class Say {
    private Say() {}

    static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format, values);
    }

    /** With a capital and a full stop. */
    static String sentence(String words) {
        return Character.toUpperCase(words.charAt(0)) + words.substring(1) + (words.endsWith(".") ? "" : ".");
    }

    /** A share of a count, as a reader wants it: {@code 396 of 400 (99 %)}. */
    static String share(int part, int of) {
        return text("%d of %d (%.0f %%)", part, of, of == 0 ? 0 : 100.0 * part / of);
    }

    /** A period with a fitting unit. */
    static String period(double seconds) {
        return seconds < 1 ? text("%.3f ms", seconds * 1e3) : text("%.4f s", seconds);
    }

    /** A deviation with one standard error. */
    static String ppm(double value, double error) {
        int digits = error >= 1 ? 1 : error >= 0.1 ? 2 : 3;
        return text("%." + digits + "f +/- %." + digits + "f ppm", value, error);
    }

    /** Rounded up to a length of recording that a person would ask for. */
    static String ask(double seconds) {
        if (seconds < 100) return text("%.0f s", Math.ceil(seconds / 10) * 10);
        if (seconds < 600) return text("%.0f s", Math.ceil(seconds / 60) * 60);
        return text("%.0f minutes", Math.ceil(seconds / 300) * 5);
    }
}
