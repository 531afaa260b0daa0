package buswitness.report.predict;

import buswitness.instruments.Trace;
import buswitness.predict.Forecast;
import buswitness.predict.InstrumentOutlook;
import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PictureScale;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.Shapes;
import buswitness.schema.Gauge;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;

/** A few moments of an instrument in one simulated drive, as the close-up of a recording draws them. */
final class PredictTrace {
    private static final int LEFT = 64;
    private static final int TOP = 12;
    private static final int BOTTOM = 208;
    private static final int SAMPLES = 26;

    private PredictTrace() {}

    /** Null where the instrument was never told anything. */
    static CloseUp of(Forecast forecast, InstrumentOutlook outlook) {
        Trace trace = outlook.trace();
        int all = trace.atSeconds().length;
        if (all < 3) return null;
        int first = Math.max(0, Math.min(all - SAMPLES, all / 2 - SAMPLES / 2));
        int last = Math.min(all, first + SAMPLES) - 1;
        double from = trace.atSeconds()[first];
        double until = trace.atSeconds()[last];
        PictureScale across = new PictureScale(from, until, LEFT + 8, CloseUp.WIDTH - 14);
        PictureScale up = new PictureScale(0, 1, BOTTOM - 10, TOP + 10);
        TreeMap<Integer, StringBuilder> paths = new TreeMap<>();
        for (int k = first; k <= last; k++) {
            if (Float.isNaN(trace.told()[k])) continue;
            paths.computeIfAbsent(trace.sender()[k], m -> new StringBuilder()).append(Shapes.path(trace.sender()[k],
                    across.at(trace.atSeconds()[k]), up.at(height(outlook, trace.told()[k])), 4.5));
        }
        List<CloseUp.Mark> marks = new ArrayList<>();
        paths.forEach((mark, path) -> marks.add(new CloseUp.Mark(Shapes.style(mark), Shapes.path(mark, 8, 8, 5),
                path.toString(), new Sentence(mark < 0 ? "both at once" : PlainText.name(forecast.senders().get(mark))))));
        String drawn = outlook.lamp() ? bars(trace, first, last, across) : needle(trace, first, last, across, up);
        Sentence title = new Sentence(PlainText.capital(PlainText.name(outlook.instrument().name())) + ", "
                + Figures.span(until - from) + " of drive " + outlook.traceDrive() + " of " + outlook.drives() + ".");
        return new CloseUp(title, new Sentence(outlook.lamp() ? "Marks: what each node tells the lamp. Bars: when it is"
                + " lit." : "Marks: what each node tells the gauge. Line: where its needle stands."), outlook.lamp(), drawn,
                marks, across.ticks(6, "\u00A0s"), outlook.lamp() ? List.of() : ticks((Gauge) outlook.instrument(), up));
    }

    private static double height(InstrumentOutlook outlook, float told) {
        if (outlook.instrument() instanceof Gauge g) return g.shareOf(told);
        return ((buswitness.schema.Lamp) outlook.instrument()).isLit(told) ? 1 : 0;
    }

    private static List<PictureScale.Tick> ticks(Gauge gauge, PictureScale up) {
        String unit = gauge.signal().unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(gauge.signal().unit());
        List<PictureScale.Tick> ticks = new ArrayList<>();
        double before = Double.NaN;
        for (int k = 0; k < gauge.values().length; k++) {
            double y = up.at(gauge.shares()[k]);
            if (Math.abs(y - before) < 14) continue;
            before = y;
            ticks.add(new PictureScale.Tick(Shapes.n(y), Figures.short3(gauge.values()[k]) + unit));
        }
        return ticks;
    }

    private static String needle(Trace trace, int first, int last, PictureScale across, PictureScale up) {
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
