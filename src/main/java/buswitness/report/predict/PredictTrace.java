package buswitness.report.predict;

import buswitness.instruments.Trace;
import buswitness.predict.Forecast;
import buswitness.predict.InstrumentOutlook;
import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.TraceDrawing;
import buswitness.schema.Gauge;
import buswitness.schema.Lamp;
import java.util.List;

/** A few moments of an instrument in one simulated drive, as the close-up of a recording draws them. */
final class PredictTrace {
    private PredictTrace() {}

    /** Null where the instrument was never told anything. */
    static CloseUp of(Forecast forecast, InstrumentOutlook outlook) {
        Trace trace = outlook.trace();
        int all = trace.atSeconds().length;
        if (all < 3) return null;
        int first = Math.max(0, Math.min(all - TraceDrawing.SAMPLES, all / 2 - TraceDrawing.SAMPLES / 2));
        TraceDrawing drawing = TraceDrawing.of(trace, first, 0, 1);
        Sentence title = new Sentence(PlainText.capital(PlainText.name(outlook.instrument().name())) + ", "
                + Figures.span(drawing.seconds()) + " of drive " + outlook.traceDrive() + " of " + outlook.drives() + ".");
        Sentence caption = new Sentence(outlook.lamp() ? "Marks: what each node tells the lamp. Bars: when it is lit."
                : "Marks: what each node tells the gauge. Line: where its needle stands.");
        return new CloseUp(title, caption, outlook.lamp(), outlook.lamp() ? drawing.bars() : drawing.needle(),
                drawing.marks(told -> height(outlook, told), mark -> mark < 0 ? "both at once"
                : PlainText.name(forecast.senders().get(mark))), drawing.across().ticks(6, "\u00A0s"),
                outlook.lamp() ? List.of() : drawing.scale((Gauge) outlook.instrument()));
    }

    private static double height(InstrumentOutlook outlook, double told) {
        if (outlook.instrument() instanceof Gauge g) return g.shareOf(told);
        return ((Lamp) outlook.instrument()).isLit(told) ? 1 : 0;
    }
}
