package buswitness.report.parts;

import java.util.regex.Pattern;

/** Names and sentences come from files that anybody can write: nothing in them may steer a screen or reorder text. */
public final class PlainText {
    /** First strong isolate and its end (Unicode UAX 9): in our own sentences they stand around a name. */
    public static final char ISOLATE = '\u2068';
    public static final char END_ISOLATE = '\u2069';
    private static final int REPLACEMENT = 0xFFFD;
    /** A hyphen that stands for the sign of a number. */
    private static final Pattern MINUS = Pattern.compile("(?<=^|[\\s(\u00A0])-(?=[0-9])");

    /** The blank between a figure and its unit, where no line may break. */
    private static final Pattern UNIT = Pattern.compile("(?<=[0-9]) (?=(%|°C|ppm|ps|ns|µs|ms|s|min|h|mV|V|A|Hz|rpm|km|km/h|bar"
            + "|bit/s|kbit/s|Mbit/s)(?![\\p{L}/]))");

    private PlainText() {}

    /**
     * The text in one line: control characters become blanks, characters that reorder or separate lines and lone
     * surrogates become U+FFFD. Marks that only hint a direction (U+200E, U+200F, U+061C) stay.
     */
    public static String clean(String text) {
        StringBuilder out = new StringBuilder(text.length());
        text.codePoints().forEach(c -> {
            if (Character.isISOControl(c)) out.append(' ');
            else if (reorders(c) || c >= 0xD800 && c <= 0xDFFF) out.appendCodePoint(REPLACEMENT);
            else out.appendCodePoint(c);
        });
        return out.toString();
    }

    private static boolean reorders(int c) {
        return c == 0x2028 || c == 0x2029 || c >= 0x202A && c <= 0x202E || c >= 0x2066 && c <= 0x2069;
    }

    /** A name to stand in one of our sentences, cut at 80 characters. */
    public static String name(String name) {
        return ISOLATE + cut(clean(name), 80) + END_ISOLATE;
    }

    /** A sentence that another stage wrote, set apart so that nothing in it reorders ours. */
    public static String foreign(String sentence) {
        if (sentence == null) return "";
        String set = MINUS.matcher(clean(sentence).replace(" +/- ", " ± ").replace(" ± ", "\u00A0±\u00A0")).replaceAll("\u2212");
        return ISOLATE + cut(UNIT.matcher(set).replaceAll("\u00A0"), 2000) + END_ISOLATE;
    }

    /** At most {@code most} code points, the cut shown by an ellipsis. */
    public static String cut(String text, int most) {
        if (text.codePointCount(0, text.length()) <= most) return text;
        return text.substring(0, text.offsetByCodePoints(0, most - 1)) + "…";
    }

    /** Without the isolates around names: for a terminal, and for a file that a program reads. */
    public static String bare(String sentence) {
        return sentence.replace(String.valueOf(ISOLATE), "").replace(String.valueOf(END_ISOLATE), "");
    }

    /** Lone surrogates replaced, nothing else touched: what JSON needs. */
    public static String wellFormed(String text) {
        StringBuilder out = new StringBuilder(text.length());
        text.codePoints().forEach(c -> out.appendCodePoint(c >= 0xD800 && c <= 0xDFFF ? REPLACEMENT : c));
        return out.toString();
    }

    /** For terminals that know no more than ASCII: our own signs spelled out, anything else a question mark. */
    public static String ascii(String text) {
        StringBuilder out = new StringBuilder(text.length());
        text.codePoints().forEach(c -> {
            switch (c) {
                case '±' -> out.append("+-");
                case '°' -> out.append("deg ");
                case 'µ', 'μ' -> out.append('u');
                case '×' -> out.append('x');
                case '\u00A0' -> out.append('\u00A0');
                case '…' -> out.append("...");
                case '–', '—', '−' -> out.append('-');
                case '‘', '’' -> out.append('\'');
                case '“', '”' -> out.append('"');
                case '·', '•' -> out.append('-');
                default -> out.appendCodePoint(c < 128 ? c : '?');
            }
        });
        return out.toString();
    }

    /** Sentence case for the first letter, whatever stands there. */
    public static String capital(String text) {
        int at = text.isEmpty() || text.charAt(0) != ISOLATE ? 0 : 1;
        if (text.length() <= at) return text;
        return text.substring(0, at) + Character.toUpperCase(text.charAt(at)) + text.substring(at + 1);
    }
}
