package buswitness.calibrate;

import java.util.Locale;

/** A picture on white paper, so that it reads on light and on dark pages: lines, bars, marks and words as SVG 1.1. */
final class Drawing {
    static final String INK = "#1f2a33";
    static final String FAINT = "#c9d1d8";
    static final String SOFT = "#5b6770";
    static final String BLUE = "#0b62a4";
    static final String RUST = "#b4441c";
    static final String SAND = "#e2b34c";

    /** Marks differ in shape as well as in colour. */
    enum Mark { DISC, SQUARE, TRIANGLE }

    private final StringBuilder body = new StringBuilder();
    private final int width;
    private final int height;
    private final String title;

    Drawing(int width, int height, String title) {
        this.width = width;
        this.height = height;
        this.title = title;
        text(12, 22, title, "start", INK, 15, true);
    }

    void text(double x, double y, String words, String anchor) {
        text(x, y, words, anchor, INK, 12, false);
    }

    void soft(double x, double y, String words, String anchor) {
        text(x, y, words, anchor, SOFT, 12, false);
    }

    void bold(double x, double y, String words) {
        text(x, y, words, "start", INK, 12, true);
    }

    private void text(double x, double y, String words, String anchor, String colour, int size, boolean bold) {
        put("<text x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\" fill=\"%s\" font-size=\"%d\"%s>%s</text>", x, y, anchor,
                colour, size, bold ? " font-weight=\"bold\"" : "", escaped(words));
    }

    void line(double x1, double y1, double x2, double y2, String colour, double thick) {
        put("<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"%s\" stroke-width=\"%.1f\"/>", x1, y1, x2,
                y2, colour, thick);
    }

    void dashed(double x1, double y1, double x2, double y2, String colour) {
        put("<line x1=\"%.1f\" y1=\"%.1f\" x2=\"%.1f\" y2=\"%.1f\" stroke=\"%s\" stroke-width=\"1\" "
                + "stroke-dasharray=\"4 3\"/>", x1, y1, x2, y2, colour);
    }

    void bar(double x, double y, double wide, double high, String colour) {
        put("<rect x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" fill=\"%s\"/>", x, y, wide, high, colour);
    }

    void mark(Mark mark, double x, double y, String colour) {
        String d = switch (mark) {
            case DISC -> String.format(Locale.ROOT, "M%.1f %.1fa4.5 4.5 0 1 1 9 0a4.5 4.5 0 1 1 -9 0z", x - 4.5, y);
            case SQUARE -> String.format(Locale.ROOT, "M%.1f %.1fh8v8h-8z", x - 4, y - 4);
            case TRIANGLE -> String.format(Locale.ROOT, "M%.1f %.1fl5 9h-10z", x, y - 5.5);
        };
        put("<path d=\"%s\" fill=\"%s\" stroke=\"#ffffff\" stroke-width=\"1\"/>", d, colour);
    }

    /** An interval that stands up, with short caps. */
    void upright(double x, double low, double high, String colour) {
        line(x, low, x, high, colour, 1.5);
        line(x - 3, low, x + 3, low, colour, 1.5);
        line(x - 3, high, x + 3, high, colour, 1.5);
    }

    /** An interval that lies, with short caps. */
    void lying(double low, double high, double y, String colour) {
        line(low, y, high, y, colour, 1.5);
        line(low, y - 3, low, y + 3, colour, 1.5);
        line(high, y - 3, high, y + 3, colour, 1.5);
    }

    private void put(String format, Object... values) {
        body.append(String.format(Locale.ROOT, format, values)).append('\n');
    }

    private static String escaped(String words) {
        return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;");
    }

    String svg() {
        return String.format(Locale.ROOT, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%d\" height=\"%d\" "
                + "viewBox=\"0 0 %d %d\" role=\"img\" font-family=\"sans-serif\">\n<title>%s</title>\n"
                + "<rect width=\"%d\" height=\"%d\" fill=\"#ffffff\"/>\n%s</svg>\n", width, height, width, height,
                escaped(title), width, height, body);
    }
}
