package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Trace;
import buswitness.report.parts.Figures;
import buswitness.report.parts.FindingWords;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.StringWriter;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;

/**
 * What the page's script draws, as compact JSON: times are whole microseconds, in rows as differences from the one
 * before; shares of a needle's travel are thousandths.
 */
final class PageData {
    private static final int MOST_COLLISIONS = 2000;
    private static final int MOST_GAPS = 500;

    private final Findings findings;
    private final Names names;
    private final Drawn drawn;
    private final DetailPlan plan;
    private final double scale;
    private final StringWriter text = new StringWriter(1 << 18);
    private final JsonGenerator json;

    private PageData(Findings findings, Names names, Drawn drawn, DetailPlan plan, double scale) throws IOException {
        this.findings = findings;
        this.names = names;
        this.drawn = drawn;
        this.plan = plan;
        this.scale = scale;
        json = new JsonFactory().createGenerator(text);
    }

    /** @param scale 1 for a page of usual size; less draws less outside the detail windows */
    static String json(Findings findings, Names names, Drawn drawn, DetailPlan plan, double scale) throws IOException {
        PageData data = new PageData(findings, names, drawn, plan, scale);
        data.all();
        // Inside a script element only the character < could end it; it stands in strings alone.
        return data.text.toString().replace("<", "\\u003c");
    }

    private void all() throws IOException {
        json.writeStartObject();
        json.writeNumberField("until", micros(drawn.duration()));
        json.writeBooleanField("everything", plan.everything());
        json.writeArrayFieldStart("detail");
        for (double[] w : plan.windows()) pair(w[0], w[1]);
        json.writeEndArray();
        json.writeArrayFieldStart("gaps");
        List<Gap> gaps = findings.gaps();
        for (Gap g : gaps.subList(0, Math.min(MOST_GAPS, gaps.size()))) {
            pair(g.fromPicos() * 1e-12, g.untilPicos() * 1e-12);
        }
        json.writeEndArray();
        json.writeArrayFieldStart("marks");
        for (Mark m : findings.marks().subList(0, Math.min(MOST_GAPS, findings.marks().size()))) {
            json.writeStartArray();
            json.writeNumber(micros(m.atPicos() * 1e-12));
            json.writeString(PlainText.cut(PlainText.clean(m.label()), 80));
            json.writeEndArray();
        }
        json.writeEndArray();
        json.writeArrayFieldStart("senders");
        for (Sender s : findings.clashes().senders()) {
            json.writeStartObject();
            text("label", s.label());
            text("name", s.name());
            json.writeEndObject();
        }
        json.writeEndArray();
        collisions();
        json.writeArrayFieldStart("instruments");
        for (InstrumentFinding i : drawn.instruments()) instrument(i);
        json.writeEndArray();
        json.writeArrayFieldStart("messages");
        for (MessageFinding m : drawn.messages()) message(m);
        json.writeEndArray();
        json.writeArrayFieldStart("drifts");
        for (MessageFinding m : drawn.studied()) {
            DriftSeries drift = DriftSeries.of(findings, names, m, drawn.frames(m.key()));
            if (drift != null) drift(drift);
        }
        json.writeEndArray();
        json.writeArrayFieldStart("values");
        for (MessageFinding m : drawn.studied()) {
            for (ValueSeries v : ValueSeries.of(findings, names, m, drawn.frames(m.key()))) values(v);
        }
        json.writeEndArray();
        json.writeEndObject();
        json.close();
    }

    private void collisions() throws IOException {
        List<Collision> all = findings.clashes().collisions();
        json.writeArrayFieldStart("collisions");
        for (int i : even(all.size(), MOST_COLLISIONS)) {
            Collision c = all.get(i);
            json.writeStartArray();
            json.writeNumber(micros(c.atSeconds()));
            json.writeNumber(micros(c.untilSeconds()));
            json.writeNumber(c.frames().size());
            json.writeString(buswitness.frames.MessageKey.text(c.key()));
            json.writeEndArray();
        }
        json.writeEndArray();
    }

    /** At most {@code most} indexes below {@code size}, evenly spread, first and last among them. */
    private static int[] even(int size, int most) {
        if (size <= most) return IntStream.range(0, size).toArray();
        return IntStream.range(0, most).map(k -> (int) ((long) k * (size - 1) / (most - 1))).toArray();
    }

    private void instrument(InstrumentFinding i) throws IOException {
        Trace trace = i.trace();
        Instrument plate = plate(i);
        json.writeStartObject();
        text("name", PlainText.cut(PlainText.clean(i.name()), 80));
        json.writeBooleanField("lamp", i.lamp());
        text("unit", i.unit());
        json.writeBooleanField("suffers", i.symptom() != buswitness.instruments.Symptom.NONE);
        text("says", PlainText.bare(FindingWords.does(i)));
        if (plate instanceof Gauge g) {
            json.writeArrayFieldStart("scale");
            for (int k = 0; k < g.values().length && k < 12; k++) {
                json.writeStartArray();
                json.writeNumber(Figures.significant(g.values()[k], 6));
                json.writeNumber(Math.round(g.shares()[k] * 1000));
                json.writeEndArray();
            }
            json.writeEndArray();
        }
        int bins = bins(drawn.instruments().size(), 9000);
        TraceThinner.Thin shown = TraceThinner.thin(trace.atSeconds(), trace.shown(), plan, drawn.duration(), bins);
        json.writeFieldName("shown");
        series(trace.atSeconds(), trace.shown(), 1000, shown);
        if (!i.lamp()) told(i, plate, bins);
        json.writeEndObject();
    }

    private Instrument plate(InstrumentFinding i) {
        if (findings.layout() == null) return null;
        for (Instrument plate : findings.layout().instruments()) if (plate.name().equals(i.name())) return plate;
        return null;
    }

    /** What the needle was told, sender by sender, as shares of its travel. */
    private void told(InstrumentFinding i, Instrument plate, int bins) throws IOException {
        Trace trace = i.trace();
        float low = Float.POSITIVE_INFINITY;
        float high = Float.NEGATIVE_INFINITY;
        for (float v : trace.told()) {
            if (v < low) low = v;
            if (v > high) high = v;
        }
        float[] share = new float[trace.told().length];
        for (int k = 0; k < share.length; k++) {
            float v = trace.told()[k];
            share[k] = Float.isNaN(v) ? Float.NaN : plate instanceof Gauge g ? (float) g.shareOf(v)
                    : high > low ? (v - low) / (high - low) : 0.5f;
        }
        json.writeArrayFieldStart("told");
        for (int sender : Arrays.stream(trace.sender()).distinct().sorted().toArray()) {
            int[] own = IntStream.range(0, share.length).filter(k -> trace.sender()[k] == sender
                    && !Float.isNaN(share[k])).toArray();
            if (own.length == 0) continue;
            sender(sender, pick(trace.atSeconds(), own), pick(share, own), 1000, bins);
        }
        json.writeEndArray();
    }

    /** One sender's series: {@code mark} is its index, -1 where undetermined. */
    private void sender(int mark, double[] at, float[] values, double factor, int bins) throws IOException {
        json.writeStartObject();
        json.writeNumberField("mark", mark);
        json.writeFieldName("line");
        series(at, values, factor, TraceThinner.thin(at, values, plan, drawn.duration(), bins));
        json.writeEndObject();
    }

    private void series(double[] at, float[] values, double factor, TraceThinner.Thin thin) throws IOException {
        json.writeStartObject();
        times(pick(at, thin.kept()));
        json.writeArrayFieldStart("v");
        for (int k : thin.kept()) value(values[k], factor);
        json.writeEndArray();
        if (!thin.bands().isEmpty()) {
            json.writeArrayFieldStart("bands");
            for (TraceThinner.Band b : thin.bands()) {
                json.writeStartArray();
                json.writeNumber(micros(at[b.first()]));
                json.writeNumber(micros(at[b.last()]));
                value(b.low(), factor);
                value(b.high(), factor);
                json.writeNumber(b.turns());
                json.writeEndArray();
            }
            json.writeEndArray();
        }
        json.writeEndObject();
    }

    private void value(float v, double factor) throws IOException {
        if (Float.isNaN(v) || Float.isInfinite(v)) json.writeNull();
        else if (factor == 1) json.writeNumber(Figures.significant(v, 6));
        else json.writeNumber(Math.round(v * factor));
    }

    private void message(MessageFinding m) throws IOException {
        FrameLog log = findings.frames();
        json.writeStartObject();
        text("name", PlainText.cut(PlainText.clean(PlainText.bare(names.message(m.key()))), 100));
        text("id", buswitness.frames.MessageKey.text(m.key()));
        text("says", m.verdict().text());
        FrameMarks marks = new FrameMarks(log, findings.clashes(), drawn.frames(m.key()), plan, drawn.duration(),
                bins(drawn.messages().size(), 9000));
        times(marks.times());
        text("w", marks.codes());
        json.writeNumberField("bins", marks.bins());
        json.writeArrayFieldStart("counted");
        for (FrameMarks.Row row : marks.counted()) {
            json.writeStartObject();
            text("w", String.valueOf(row.code()));
            json.writeFieldName("b");
            json.writeArray(row.sparse(), 0, row.sparse().length);
            json.writeEndObject();
        }
        json.writeEndArray();
        json.writeEndObject();
    }

    private void drift(DriftSeries drift) throws IOException {
        json.writeStartObject();
        text("name", PlainText.bare(drift.name()));
        json.writeNumberField("period", Figures.decimals(drift.periodSeconds() * 1e6, 4));
        json.writeArrayFieldStart("lines");
        for (DriftSeries.Line line : drift.lines()) {
            int[] kept = line.thinned(plan, (int) (1500 * scale) + 50);
            json.writeStartObject();
            text("label", line.label());
            json.writeNumberField("mark", line.mark());
            times(pick(line.at(), kept));
            json.writeArrayFieldStart("shift");
            for (int k : kept) json.writeNumber(Math.round(line.shift()[k] * 1e6));
            json.writeEndArray();
            json.writeEndObject();
        }
        json.writeEndArray();
        json.writeEndObject();
    }

    private void values(ValueSeries v) throws IOException {
        json.writeStartObject();
        text("name", v.name());
        text("message", PlainText.bare(v.message()));
        text("unit", v.unit());
        json.writeArrayFieldStart("told");
        for (ValueSeries.Line line : v.lines()) sender(line.mark(), line.at(), line.values(), 1, bins(16, 5000));
        json.writeEndArray();
        json.writeEndObject();
    }

    private int bins(int lanes, int all) {
        return Math.max(40, Math.min(600, (int) (all * scale / Math.max(1, lanes))));
    }

    private void times(double[] at) throws IOException {
        json.writeArrayFieldStart("t");
        long before = 0;
        for (double t : at) {
            long now = micros(t);
            json.writeNumber(now - before);
            before = now;
        }
        json.writeEndArray();
    }

    private void pair(double from, double until) throws IOException {
        json.writeStartArray();
        json.writeNumber(micros(from));
        json.writeNumber(micros(until));
        json.writeEndArray();
    }

    private void text(String name, String value) throws IOException {
        if (value == null) json.writeNullField(name);
        else json.writeStringField(name, PlainText.cut(PlainText.clean(value), 100_000));
    }

    private static long micros(double seconds) {
        return Math.round(seconds * 1e6);
    }

    private static double[] pick(double[] from, int[] indexes) {
        return Arrays.stream(indexes).mapToDouble(k -> from[k]).toArray();
    }

    private static float[] pick(float[] from, int[] indexes) {
        float[] out = new float[indexes.length];
        for (int k = 0; k < out.length; k++) out[k] = from[indexes[k]];
        return out;
    }
}
