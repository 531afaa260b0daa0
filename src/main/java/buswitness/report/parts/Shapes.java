package buswitness.report.parts;

/** A sender's mark: shape and colour go together, so that either alone tells. The page's script draws the same six. */
public final class Shapes {
    public static final int COUNT = 6;

    private Shapes() {}

    /** Class of a sender's colour: {@code s0} to {@code s5}, {@code sx} where undetermined. */
    public static String style(int mark) {
        return mark < 0 ? "sx" : "s" + mark % COUNT;
    }

    /** SVG path of a mark around a point. */
    public static String path(int mark, double x, double y, double r) {
        if (mark < 0) return circle(x, y, r) + circle(x, y, r * 0.55);
        double d = r * 1.2;
        return switch (mark % COUNT) {
            case 0 -> circle(x, y, r);
            case 1 -> polygon(x, y, -r, -r, r, -r, r, r, -r, r);
            case 2 -> polygon(x, y, 0, -d, d, d * 0.8, -d, d * 0.8);
            case 3 -> polygon(x, y, 0, -d * 1.1, d * 1.1, 0, 0, d * 1.1, -d * 1.1, 0);
            case 4 -> polygon(x, y, 0, d, d, -d * 0.8, -d, -d * 0.8);
            default -> polygon(x, y, -d, -r * 0.4, -r * 0.4, -r * 0.4, -r * 0.4, -d, r * 0.4, -d, r * 0.4, -r * 0.4, d,
                    -r * 0.4, d, r * 0.4, r * 0.4, r * 0.4, r * 0.4, d, -r * 0.4, d, -r * 0.4, r * 0.4, -d, r * 0.4);
        };
    }

    private static String circle(double x, double y, double r) {
        return "M" + n(x - r) + " " + n(y) + "a" + n(r) + " " + n(r) + " 0 1 1 " + n(2 * r) + " 0a" + n(r) + " " + n(r)
                + " 0 1 1 " + n(-2 * r) + " 0z";
    }

    private static String polygon(double x, double y, double... corners) {
        StringBuilder path = new StringBuilder();
        for (int i = 0; i < corners.length; i += 2) {
            path.append(i == 0 ? 'M' : 'L').append(n(x + corners[i])).append(' ').append(n(y + corners[i + 1]));
        }
        return path.append('z').toString();
    }

    /** A coordinate, a tenth of a unit fine. */
    public static String n(double value) {
        return Figures.decimals(value, 1).toPlainString();
    }
}
