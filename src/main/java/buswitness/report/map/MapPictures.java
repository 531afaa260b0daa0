package buswitness.report.map;

import buswitness.map.BusMap;
import buswitness.map.FieldKind;
import buswitness.map.Histogram;
import buswitness.map.MapMessage;
import buswitness.map.PayloadField;
import buswitness.map.ValueTrace;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PictureScale;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Shapes;
import gg.jte.Content;
import java.util.ArrayList;
import java.util.List;

/** Drawings of a map, as SVG: the bus with its nodes, a payload as a skyline of its bits, pauses, values over time. */
final class MapPictures {
    private static final int WIDTH = 760;
    private static final int ROW = 20;
    private static final int BUS_X = 232;
    private static final int MESSAGE_X = 262;
    private static final int INSTRUMENT_X = 600;
    /** Usual width of a letter of 12 units. */
    private static final double LETTER = 5.9;

    private MapPictures() {}

    static Content raw(String svg) {
        return output -> output.writeContent(svg);
    }

    /** Text for SVG, escaped. */
    static String esc(String text) {
        return PlainText.clean(PlainText.bare(text)).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
                .replace("\"", "&quot;");
    }

    static String mark(int sender) {
        return "<svg class=\"sign\" width=\"16\" height=\"16\" viewBox=\"0 0 16 16\" aria-hidden=\"true\"><path class=\""
                + Shapes.style(sender) + "\" d=\"" + Shapes.path(sender, 8, 8, 5) + "\"></path></svg>";
    }

    private record Line(long key, double x, double y) {}

    /** Senders left of the bus line, each with its messages to the right of it, and the instruments that show them. */
    static String bus(BusMap map, MapWords words) {
        StringBuilder out = new StringBuilder();
        List<Line> lines = new ArrayList<>();
        double y = 26;
        for (int s = 0; s < map.senders().size(); s++) y = sender(out, map, words, s, y, lines);
        y = sender(out, map, words, -1, y, lines);
        List<String> instruments = words.allInstruments();
        double height = Math.max(y + 6, 40 + instruments.size() * ROW);
        StringBuilder wires = new StringBuilder();
        for (int i = 0; i < instruments.size(); i++) {
            double at = 26 + (i + 0.5) * (height - 40) / instruments.size();
            for (Line l : lines) {
                if (!words.instruments(l.key).contains(instruments.get(i))) continue;
                    double from = INSTRUMENT_X - 62;
                wires.append("<path class=\"strand\" d=\"M").append(Shapes.n(Math.min(from, l.x))).append(' ')
                            .append(Shapes.n(l.y)).append('C')
                        .append(Shapes.n(from + 34)).append(' ').append(Shapes.n(l.y)).append(' ')
                                .append(Shapes.n(from + 26))
                        .append(' ').append(Shapes.n(at)).append(' ').append(INSTRUMENT_X - 6)
                                .append(' ').append(Shapes.n(at))
                        .append("\"></path>");
            }
            out.append("<text class=\"label ink\" x=\"").append(INSTRUMENT_X).append("\" y=\"")
                    .append(Shapes.n(at + 4)).append("\">")
                    .append(esc(PlainText.cut(instruments.get(i), 24))).append("</text>");
        }
        String line = "<path class=\"busline\" d=\"M" + BUS_X + " 14V" + Shapes.n(height - 6) + "\"></path><path class=\"busline\" d=\"M"
                + (BUS_X + 5) + " 14V" + Shapes.n(height - 6) + "\"></path>";
        return "<svg class=\"picture\" viewBox=\"0 0 " + WIDTH + " " + (int) Math.ceil(height) + "\" role=\"img\" aria-label=\"The bus:"
                + " senders, what each sends, and the instruments that show it\">" + wires + line + out + "</svg>";
    }

    private static double sender(StringBuilder out, BusMap map, MapWords words, int sender, double top, List<Line> lines) {
        List<MapMessage> own = map.messages().stream().filter(m -> sender < 0 ? m.senders().isEmpty()
                : m.senders().contains(sender)).toList();
        if (own.isEmpty()) return top;
        double y = top;
        double middle = top + (own.size() - 1) * ROW / 2.0;
        String style = Shapes.style(sender);
        out.append("<path class=\"").append(style).append("\" d=\"")
                .append(Shapes.path(sender, 18, middle, 7)).append("\"></path>");
        String name = sender < 0 ? "not settled" : words.sender(sender);
        out.append("<text class=\"label ink\" x=\"32\" y=\"").append(Shapes.n(middle + 4)).append("\">")
                .append(esc(PlainText.cut(PlainText.bare(name), 24))).append("</text>");
        double begins = Math.min(BUS_X - 12, 40 + LETTER * PlainText.cut(PlainText.bare(name), 24).length());
        out.append("<path class=\"stub ").append(style).append("-line\" d=\"M").append(Shapes.n(begins)).append(' ')
                .append(Shapes.n(middle)).append('H').append(BUS_X).append("\"></path>");
        for (MapMessage m : own) {
            out.append("<path class=\"stub ").append(style).append("-line\" d=\"M").append(BUS_X + 5)
                    .append(' ').append(Shapes.n(y))
                    .append('H').append(MESSAGE_X - 5).append("\"></path>");
            String title = PlainText.cut(PlainText.bare(words.message(m.key())), 40);
            out.append("<text class=\"label\" x=\"").append(MESSAGE_X).append("\" y=\"")
                    .append(Shapes.n(y + 4)).append("\">")
                    .append(esc(title)).append("</text>");
            lines.add(new Line(m.key(), MESSAGE_X + 8 + LETTER * title.length(), y));
            y += ROW;
        }
        return y + 12;
    }

    /**
     * A payload in the order sent: over the line a bar for each bit, as high as the bit is restless; under it, row by row, the
     * parts it falls into, each kind with a stroke of its own.
     */
    static String bits(MapMessage m) {
        int bits = m.turns().size();
        if (bits == 0) return "";
        double wide = Math.min(22, 704.0 / bits);
        double left = 48;
        double base = 74;
        StringBuilder out = new StringBuilder();
        for (int b = 0; b < bits; b++) {
            double x = left + b * wide;
            if (b % 8 == 0) {
                out.append("<path class=\"axis\" d=\"M").append(Shapes.n(x)).append(" 14V")
                        .append(Shapes.n(base + 5)).append("\"></path>");
                out.append("<text class=\"small\" x=\"").append(Shapes.n(x + 2)).append("\" y=\"11\">")
                        .append(b).append("</text>");
            }
            double rate = m.turns().get(b);
            // The square root lets a bit that turned once in a hundred frames be seen beside one that turns each time.
            double high = rate <= 0 ? 0 : Math.max(1.5, 56 * Math.sqrt(Math.min(1, rate)));
            if (high > 0) {
                out.append("<rect class=\"restless\" x=\"").append(Shapes.n(x + wide * 0.14)).append("\" y=\"")
                        .append(Shapes.n(base - high)).append("\" width=\"")
                                .append(Shapes.n(wide * 0.72)).append("\" height=\"")
                        .append(Shapes.n(high)).append("\"></rect>");
            }
        }
        double right = left + bits * wide;
        out.append("<path class=\"axis\" d=\"M").append(Shapes.n(left)).append(' ').append(Shapes.n(base)).append('H')
                .append(Shapes.n(right)).append("\"></path>");
        out
                .append("<text class=\"small end\" x=\"42\" y=\"22\">each</text><text class=\"small end\" x=\"42\" y=\"32\">frame</text>"
                + "<text class=\"small end\" x=\"42\" y=\"" + Shapes.n(base) + "\">never</text>");
        List<Long> pages = new ArrayList<>();
        for (PayloadField f : m.fields()) if (f.page() != null && !pages.contains(f.page().value())) pages.add(f.page().value());
        double y = base + 18;
        for (int row = 0; row <= pages.size(); row++) {
            int at = row;
            List<PayloadField> here = m.fields().stream().filter(f -> at == 0 ? f.page() == null
                    : f.page() != null && f.page().value() == pages.get(at - 1)).toList();
            if (here.isEmpty()) continue;
            if (row > 0) out.append("<text class=\"small end\" x=\"42\" y=\"").append(Shapes.n(y + 4))
                    .append("\">page ").append(pages.get(row - 1)).append("</text>");
            for (PayloadField f : here) stroke(out, f, left + f.firstBit() * wide, f.width() * wide, y);
            y += 26;
        }
        return "<svg class=\"picture\" viewBox=\"0 0 " + WIDTH + " " + (int) (y + 2) + "\" role=\"img\" aria-label=\"How restless each"
                + " bit is, and the parts of the payload\">" + out + "</svg>";
    }

    private static void stroke(StringBuilder out, PayloadField f, double x, double wide, double y) {
        double from = x + 1;
        double to = x + wide - 1;
        String kind = "part-" + switch (f.kind()) {
            case CONSTANT -> "still";
            case FLAG -> "flag";
            case COUNTER -> "counter";
            case CHECK -> "check";
            case VALUE -> "value";
            case PAGE -> "page";
            case UNCLEAR -> "unclear";
        };
        double middle = (from + to) / 2;
        String d = switch (f.kind()) {
            case CONSTANT -> "M" + Shapes.n(from) + " " + Shapes.n(y) + "H" + Shapes.n(to);
            case FLAG -> "M" + Shapes.n(middle) + " " + Shapes.n(y + 6) + "V" + Shapes.n(y - 6) + "l" + Shapes.n(Math.min(9, wide * 0.7))
                    + " 3.5l" + Shapes.n(-Math.min(9, wide * 0.7)) + " 3.5z";
            case VALUE -> "M" + Shapes.n(from) + " " + Shapes.n(y + 6) + "L" + Shapes.n(to) + " " + Shapes.n(y - 6) + "V"
                    + Shapes.n(y + 6) + "z";
            case COUNTER -> stairs(from, to, y);
            default -> "M" + Shapes.n(from) + " " + Shapes.n(y - 6) + "H" + Shapes.n(to) + "V" + Shapes.n(y + 6)
                    + "H" + Shapes.n(from) + "z";
        };
        if (f.kind() == FieldKind.VALUE && f.lowByteFirst()) {
            d = "M" + Shapes.n(from) + " " + Shapes.n(y - 6) + "L" + Shapes.n(to) + " " + Shapes.n(y + 6) + "H" + Shapes.n(from) + "z";
        }
        out.append("<path class=\"").append(kind).append("\" d=\"").append(d).append("\"><title>")
                .append(esc(MapWords.field(f)))
                .append("</title></path>");
    }

    private static String stairs(double from, double to, double y) {
        StringBuilder d = new StringBuilder("M" + Shapes.n(from) + " " + Shapes.n(y + 6));
        int steps = 4;
        for (int i = 1; i <= steps; i++) {
            d.append('V').append(Shapes.n(y + 6 - 12.0 * i / steps)).append('H')
                    .append(Shapes.n(from + (to - from) * i / steps));
        }
        return d.append('V').append(Shapes.n(y + 6)).append('z').toString();
    }

    static String pauses(Histogram h) {
        if (h == null) return "";
        int most = 1;
        for (int c : h.counts()) most = Math.max(most, c);
        int n = h.counts().length;
        double end = h.fromSeconds() + n * h.widthSeconds();
        PictureScale across = new PictureScale(h.fromSeconds() * 1e3, end * 1e3, 48, 748);
        StringBuilder out = new StringBuilder();
        for (int i = 0; i < n; i++) {
            if (h.counts()[i] == 0) continue;
            double x = across.at((h.fromSeconds() + i * h.widthSeconds()) * 1e3);
            double x2 = across.at((h.fromSeconds() + (i + 1) * h.widthSeconds()) * 1e3);
            double high = Math.max(1, 84.0 * h.counts()[i] / most);
            out.append("<rect class=\"bar-still\" x=\"").append(Shapes.n(x + 0.5)).append("\" y=\"")
                    .append(Shapes.n(94 - high))
                    .append("\" width=\"").append(Shapes.n(Math.max(0.5, x2 - x - 1)))
                            .append("\" height=\"").append(Shapes.n(high))
                    .append("\"></rect>");
        }
        for (PictureScale.Tick t : across.ticks(6, " ms")) {
            out.append("<path class=\"rule\" d=\"M").append(t.at())
                    .append(" 94v5\"></path><text class=\"label middle\" x=\"").append(t.at())
                    .append("\" y=\"114\">").append(esc(t.label())).append("</text>");
        }
        out
                .append("<path class=\"axis\" d=\"M48 94H748\"></path>")
                .append("<text class=\"label end\" x=\"42\" y=\"18\">").append(Figures.count(most))
                .append("</text>");
        return "<svg class=\"picture\" viewBox=\"0 0 " + WIDTH + " 120\" role=\"img\" aria-label=\"How long the pauses between frames"
                + " last\">" + out + "</svg>";
    }

    /** @param most points drawn at most */
    static String trace(ValueTrace t, PayloadField f, int most) {
        int n = t.seconds().length;
        if (n < 2) return "";
        int stride = Math.max(1, (n + most - 1) / most);
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (double v : t.raw()) {
            low = Math.min(low, v);
            high = Math.max(high, v);
        }
        PictureScale across = new PictureScale(t.seconds()[0], t.seconds()[n - 1], 64, 748);
        PictureScale up = new PictureScale(low, high > low ? high : low + 1, 56, 8);
        StringBuilder d = new StringBuilder();
        boolean steps = f.width() <= 4;
        for (int i = 0; i < n; i += stride) {
            String x = Shapes.n(across.at(t.seconds()[i]));
            String y = Shapes.n(up.at(t.raw()[i]));
            if (i == 0) d.append('M').append(x).append(' ').append(y);
            else if (steps) d.append('H').append(x).append('V').append(y);
            else d.append('L').append(x).append(' ').append(y);
        }
        return "<svg class=\"picture\" viewBox=\"0 0 " + WIDTH + " 78\" role=\"img\" aria-label=\"The number over time\">"
                + "<path class=\"rule\""
                + " d=\"M64 8H748M64 56H748\"></path><text class=\"label end\" x=\"58\" y=\"12\">" + Figures.count(Math.round(high))
                + "</text><text class=\"label end\" x=\"58\" y=\"60\">" + Figures.count(Math.round(low)) + "</text><text class=\"label\""
                + " x=\"64\" y=\"74\">" + esc(Figures.moment(t.seconds()[0])) + "</text><text class=\"label end\" x=\"748\" y=\"74\">"
                + esc(Figures.moment(t.seconds()[n - 1])) + "</text><path class=\"trace\" d=\"" + d + "\"></path></svg>";
    }
}
