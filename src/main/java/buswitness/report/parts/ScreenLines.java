package buswitness.report.parts;

import java.io.PrintStream;

/** Writes paragraphs wrapped at the screen's width, hanging where a list item runs on. */
public final class ScreenLines {
    public enum Tone { PLAIN, HEADING, BAD, GOOD, OPEN, QUIET }

    private final PrintStream out;
    private final ScreenStyle style;

    public ScreenLines(PrintStream out, ScreenStyle style) {
        this.out = out;
        this.style = style;
    }

    public void blank() {
        out.print('\n');
    }

    public void heading(String text) {
        blank();
        paragraph(0, 0, Tone.HEADING, text);
    }

    public void item(String text) {
        paragraph(2, 4, Tone.PLAIN, (style.unicode() ? "• " : "- ") + text);
    }

    public void under(String text) {
        paragraph(4, 4, Tone.QUIET, text);
    }

    public void text(String text) {
        paragraph(2, 2, Tone.PLAIN, text);
    }

    /** Words wrapped; a word longer than the line is cut where the line ends. */
    public void paragraph(int indent, int hanging, Tone tone, String text) {
        String shown = PlainText.clean(PlainText.bare(text));
        if (!style.unicode()) shown = PlainText.ascii(shown);
        StringBuilder line = new StringBuilder(" ".repeat(indent));
        int used = indent;
        boolean fresh = true;
        for (String word : shown.split(" +")) {
            if (word.isEmpty()) continue;
            int width = word.codePointCount(0, word.length());
            if (!fresh && used + 1 + width > style.columns()) {
                put(tone, line);
                line = new StringBuilder(" ".repeat(hanging));
                used = hanging;
                fresh = true;
            }
            while (used + width > style.columns() && fresh) {
                int fits = word.offsetByCodePoints(0, style.columns() - used);
                put(tone, line.append(word, 0, fits));
                word = word.substring(fits);
                width = word.codePointCount(0, word.length());
                line = new StringBuilder(" ".repeat(hanging));
                used = hanging;
            }
            if (!fresh) line.append(' ');
            line.append(word);
            used += width + (fresh ? 0 : 1);
            fresh = false;
        }
        if (!fresh) put(tone, line);
    }

    private void put(Tone tone, StringBuilder line) {
        String on = style.colour() ? code(tone) : "";
        out.print(on);
        out.print(line.toString().replace('\u00A0', ' '));
        if (!on.isEmpty()) out.print("\u001B[0m");
        out.print('\n');
    }

    /** ECMA-48 (1991) 8.3.117; colours that stay legible on light and dark grounds. */
    private static String code(Tone tone) {
        return switch (tone) {
            case PLAIN -> "";
            case HEADING -> "\u001B[1m";
            case BAD -> "\u001B[1;31m";
            case GOOD -> "\u001B[1;32m";
            case OPEN -> "\u001B[1;33m";
            case QUIET -> "\u001B[2m";
        };
    }
}
