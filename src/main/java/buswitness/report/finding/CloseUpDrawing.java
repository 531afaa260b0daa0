package buswitness.report.finding;

import buswitness.Findings;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Trace;
import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Figures;
import buswitness.report.parts.Names;
import buswitness.report.parts.PictureScale;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.Shapes;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;

/** Draws the {@link CloseUp} of the worst instrument of a finding. */
final class CloseUpDrawing {
    private static final int LEFT = 64;
    private static final int TOP = 12;
    private static final int BOTTOM = 208;
    private static final int SAMPLES = 26;

    private CloseUpDrawing() {}

    /** Null where no instrument misbehaves or nothing was told. */
    static CloseUp of(Findings findings, Names names, Summary summary) {
        InstrumentFinding worst = null;
        for (InstrumentFinding i : summary.suffering()) {
            if (i.trace().atSeconds().length < 3) continue;
            boolean worse = worst == null || !worst.flapping() && i.flapping()
                    || worst.lamp() && !i.lamp() && i.flapping();
            if (worse) worst = i;
        }
        return worst == null ? null : draw(findings, names, worst);
    }

    private static CloseUp draw(Findings findings, Names names, InstrumentFinding i) {
        Trace trace = i.trace();
        int first = first(trace);
        int last = Math.min(trace.atSeconds().length, first + SAMPLES) - 1;
        double from = trace.atSeconds()[first];
        double until = trace.atSeconds()[last];
        PictureScale across = new PictureScale(from, until, LEFT + 8, CloseUp.WIDTH - 14);
        Instrument plate = plate(findings, i);
        double[] range = range(i, plate, first, last);
        PictureScale up = new PictureScale(range[0], range[1], BOTTOM - 10, TOP + 10);
        List<CloseUp.Mark> marks = marks(names, trace, plate, first, last, across, up);
        String needle = i.lamp() ? bars(trace, first, last, across) : needle(trace, plate, first, last, across, up);
        Sentence title = new Sentence(PlainText.capital(PlainText.name(i.name())) + ", " + Figures.span(until - from)
                + " from " + Figures.moment(from) + " on");
        Sentence caption = new Sentence(i.lamp() ? "Marks: what each sender told the lamp. Bars: when it was lit."
                : "Marks: what each sender told the gauge. Line: where its needle stood."
                + (beyond(trace, plate, first, last) ? " What lies beyond the scale is drawn at its end." : ""));
        return new CloseUp(title, caption, i.lamp(), needle, marks, across.ticks(6, "\u00A0s"),
                i.lamp() ? List.of() : upTicks(i, plate, up, range));
    }

    /** Where the told values turn halfway through, so that the picture shows what it is about. */
    private static int first(Trace trace) {
        int[] turns = TraceThinner.turns(trace.told()).stream().toArray();
        int middle = turns.length == 0 ? trace.told().length / 2 : turns[turns.length / 2];
        return Math.max(0, Math.min(trace.told().length - SAMPLES, middle - SAMPLES / 2));
    }

    private static Instrument plate(Findings findings, InstrumentFinding i) {
        if (findings.layout() == null) return null;
        for (Instrument plate : findings.layout().instruments()) if (plate.name().equals(i.name())) return plate;
        return null;
    }

    /** A gauge is drawn over its whole travel; anything else over the values it takes. */
    private static double[] range(InstrumentFinding i, Instrument plate, int first, int last) {
        if (plate instanceof Gauge) return new double[] {0, 1};
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (int k = first; k <= last; k++) {
            float v = i.trace().told()[k];
            if (Float.isNaN(v)) continue;
            low = Math.min(low, v);
            high = Math.max(high, v);
        }
        return low > high ? new double[] {0, 1} : low == high ? new double[] {low - 1, high + 1}
                : new double[] {low, high};
    }

    private static boolean beyond(Trace trace, Instrument plate, int first, int last) {
        if (!(plate instanceof Gauge g)) return false;
        double low = Math.min(g.values()[0], g.values()[g.values().length - 1]);
        double high = Math.max(g.values()[0], g.values()[g.values().length - 1]);
        for (int k = first; k <= last; k++) if (trace.told()[k] < low || trace.told()[k] > high) return true;
        return false;
    }

    private static double height(float told, Instrument plate) {
        return plate instanceof Gauge g ? g.shareOf(told) : told;
    }

    private static List<PictureScale.Tick> upTicks(InstrumentFinding i, Instrument plate, PictureScale up,
                                                   double[] range) {
        String unit = i.unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(i.unit());
        if (!(plate instanceof Gauge g)) return up.ticks(3, unit);
        List<PictureScale.Tick> ticks = new ArrayList<>();
        double before = Double.NaN;
        for (int k = 0; k < g.values().length; k++) {
            double y = up.at(g.shares()[k]);
            if (Math.abs(y - before) < 14) continue;
            before = y;
            ticks.add(new PictureScale.Tick(Shapes.n(y), Figures.short3(g.values()[k]) + unit));
        }
        return ticks;
    }

    private static List<CloseUp.Mark> marks(Names names, Trace trace, Instrument plate, int first, int last,
                                    PictureScale across, PictureScale up) {
        TreeMap<Integer, StringBuilder> paths = new TreeMap<>();
        for (int k = first; k <= last; k++) {
            if (Float.isNaN(trace.told()[k])) continue;
            int mark = trace.sender()[k];
            paths.computeIfAbsent(mark, m -> new StringBuilder()).append(Shapes.path(mark,
                    across.at(trace.atSeconds()[k]), up.at(height(trace.told()[k], plate)), 4.5));
        }
        List<CloseUp.Mark> marks = new ArrayList<>();
        paths.forEach((mark, path) -> marks.add(new CloseUp.Mark(Shapes.style(mark), Shapes.path(mark, 8, 8, 5),
                path.toString(), new Sentence(names.sender(mark)))));
        return marks;
    }

    private static String needle(Trace trace, Instrument plate, int first, int last, PictureScale across,
                                 PictureScale up) {
        if (!(plate instanceof Gauge)) return "";
        StringBuilder path = new StringBuilder();
        for (int k = first; k <= last; k++) {
            if (Float.isNaN(trace.shown()[k])) continue;
            path.append(path.length() == 0 ? 'M' : 'L').append(Shapes.n(across.at(trace.atSeconds()[k]))).append(' ')
                    .append(Shapes.n(up.at(trace.shown()[k])));
        }
        return path.toString();
    }

    private static String bars(Trace trace, int first, int last, PictureScale across) {
        StringBuilder path = new StringBuilder();
        for (int k = first; k < last; k++) {
            if (trace.shown()[k] < 0.5) continue;
            double x = across.at(trace.atSeconds()[k]);
            double w = across.at(trace.atSeconds()[k + 1]) - x;
            path.append('M').append(Shapes.n(x)).append(' ').append(TOP + 70).append('h').append(Shapes.n(w))
                    .append("v60h").append(Shapes.n(-w)).append('z');
        }
        return path.toString();
    }
}
