package buswitness.report.finding;

import buswitness.Findings;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Trace;
import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Figures;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.TraceDrawing;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import java.util.List;

/** Draws the {@link CloseUp} of the worst instrument of a finding. */
final class CloseUpDrawing {
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
        Instrument plate = plate(findings, i);
        int first = first(trace);
        int last = Math.min(trace.atSeconds().length, first + TraceDrawing.SAMPLES) - 1;
        double[] range = range(i, plate, first, last);
        TraceDrawing drawing = TraceDrawing.of(trace, first, range[0], range[1]);
        Sentence title = new Sentence(PlainText.capital(PlainText.name(i.name())) + ", " + Figures.span(drawing.seconds())
                + " from " + Figures.moment(trace.atSeconds()[first]) + " on");
        Sentence caption = new Sentence(i.lamp() ? "Marks: what each sender told the lamp. Bars: when it was lit."
                : "Marks: what each sender told the gauge. Line: where its needle stood."
                + (beyond(trace, plate, first, last) ? " What lies beyond the scale is drawn at its end." : ""));
        Gauge gauge = plate instanceof Gauge g ? g : null;
        String unit = i.unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(i.unit());
        return new CloseUp(title, caption, i.lamp(), i.lamp() ? drawing.bars() : gauge == null ? "" : drawing.needle(),
                drawing.marks(told -> gauge == null ? told : gauge.shareOf(told), names::sender),
                drawing.across().ticks(6, "\u00A0s"), i.lamp() ? List.of() : gauge == null ? drawing.up().ticks(3, unit)
                : drawing.scale(gauge));
    }

    /** Where the told values turn halfway through, so that the picture shows what it is about. */
    private static int first(Trace trace) {
        int[] turns = TraceThinner.turns(trace.told()).stream().toArray();
        int middle = turns.length == 0 ? trace.told().length / 2 : turns[turns.length / 2];
        return Math.max(0, Math.min(trace.told().length - TraceDrawing.SAMPLES, middle - TraceDrawing.SAMPLES / 2));
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
}
