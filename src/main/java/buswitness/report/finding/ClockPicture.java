package buswitness.report.finding;

import buswitness.clashes.Sender;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PictureScale;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Shapes;
import java.util.ArrayList;
import java.util.List;

/** The senders' clocks side by side: a mark each, a thick bar of one standard error, a thin one of three. */
public record ClockPicture(int height, List<Row> rows, List<PictureScale.Tick> across, String nominal) {
    static final int WIDTH = 760;
    private static final int LEFT = 190;
    private static final int ROW = 30;
    private static final int MOST = 24;

    /** One sender: positions across and down, ready to draw. */
    public record Row(String y, String textY, String style, String path, String thickFrom, String thickUntil,
                      String thinFrom, String thinUntil, String label, String figure) {}

    /** Null where fewer than two clocks are known. */
    static ClockPicture of(List<Sender> senders) {
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        int known = 0;
        for (Sender s : senders) {
            if (Double.isNaN(s.clockPpm())) continue;
            known++;
            low = Math.min(low, s.clockPpm() - 3 * error(s));
            high = Math.max(high, s.clockPpm() + 3 * error(s));
        }
        if (known < 2) return null;
        low = Math.min(low, 0);
        high = Math.max(high, 0);
        double room = (high - low) * 0.08 + 1e-3;
        PictureScale across = new PictureScale(low - room, high + room, LEFT, WIDTH - 130);
        List<Row> rows = new ArrayList<>();
        for (int i = 0; i < senders.size() && rows.size() < MOST; i++) {
            Sender s = senders.get(i);
            if (Double.isNaN(s.clockPpm())) continue;
            double y = 24 + rows.size() * ROW;
            double x = across.at(s.clockPpm());
            double e = across.at(s.clockPpm() + error(s)) - x;
            rows.add(new Row(Shapes.n(y), Shapes.n(y + 4), Shapes.style(i), Shapes.path(i, x, y, 5),
                    Shapes.n(x - e), Shapes.n(x + e), Shapes.n(x - 3 * e), Shapes.n(x + 3 * e), label(s),
                    Figures.withError(s.clockPpm(), s.clockPpmError(), true) + "\u00A0ppm"));
        }
        return new ClockPicture(24 + rows.size() * ROW + 22, rows, across.ticks(6, ""), Shapes.n(across.at(0)));
    }

    private static double error(Sender s) {
        return Double.isNaN(s.clockPpmError()) ? 0 : Math.abs(s.clockPpmError());
    }

    /** Short, for a picture holds little: the report's tables have the whole name. */
    private static String label(Sender s) {
        return s.name() == null ? s.label()
                : s.label() + " " + PlainText.cut(PlainText.clean(s.name()), 22);
    }
}
