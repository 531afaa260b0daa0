package buswitness.report.finding;

import buswitness.Findings;
import buswitness.Version;
import buswitness.clashes.Ablated;
import buswitness.clashes.Alternative;
import buswitness.clashes.Collision;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.ReferenceFinding;
import buswitness.clashes.Schedule;
import buswitness.clashes.Sender;
import buswitness.clashes.SenderLevel;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.frames.MessageKey;
import buswitness.frames.Recognition;
import buswitness.instruments.InstrumentFinding;
import buswitness.problem.Notice;
import buswitness.report.parts.Figures;
import buswitness.report.parts.JsonText;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;

/** The finding for programs, format {@code buswitness-finding/1}. Unknown numbers are null. */
final class JsonReport {
    private final Findings findings;
    private final Names names;
    private final JsonGenerator json;

    private JsonReport(Findings findings, JsonGenerator json) {
        this.findings = findings;
        this.json = json;
        names = new Names(findings);
    }

    static void write(Findings findings, OutputStream out) throws IOException {
        JsonText.write(out, json -> new JsonReport(findings, json).all());
    }

    private void all() throws IOException {
        json.writeStartObject();
        text("format", "buswitness-finding/1");
        text("program", "Buswitness " + Version.text());
        recording();
        bus();
        frames();
        array("senders", findings.clashes().senders(), this::sender);
        array("messages", findings.clashes().messages(), this::message);
        array("references", findings.clashes().references(), this::reference);
        array("collisions", findings.clashes().collisions(), this::collision);
        array("instruments", findings.instruments().instruments(), this::instrument);
        text("clash", findings.clashes().clash().text());
        array("notices", findings.notices(), this::notice);
        json.writeNumberField("notices_seen", findings.noticesSeen());
        json.writeEndObject();
    }

    private void recording() throws IOException {
        json.writeObjectFieldStart("recording");
        text("file", findings.recording().source());
        text("sha256", findings.recording().sha256());
        json.writeNumberField("edges", findings.bus().edges());
        decimals("duration_s", findings.bus().durationPicos() * 1e-12, 12);
        significant("tick_s", findings.recording().tickPicos() * 1e-12, 12);
        array("gaps", findings.gaps(), this::gap);
        array("marks", findings.marks(), this::mark);
        text("form", findings.recording().form());
        text("line", findings.line());
        json.writeEndObject();
    }

    private void gap(Gap gap) throws IOException {
        json.writeStartObject();
        decimals("from_s", gap.fromPicos() * 1e-12, 12);
        decimals("until_s", gap.untilPicos() * 1e-12, 12);
        text("why", gap.why());
        json.writeEndObject();
    }

    private void mark(Mark mark) throws IOException {
        json.writeStartObject();
        decimals("time_s", mark.atPicos() * 1e-12, 12);
        text("label", mark.label());
        json.writeEndObject();
    }

    private void bus() throws IOException {
        json.writeObjectFieldStart("bus");
        text("coding", findings.bus().coding());
        recognition(findings.bus().recognition());
        significant("rate_bit_per_s", findings.bus().bitsPerSecond(), 12);
        json.writeNumberField("idle_level", findings.bus().idleLevel());
        significant("load", findings.bus().load(), 6);
        significant("rate_confidence", findings.bus().rateConfidence(), 6);
        json.writeBooleanField("rate_given", findings.bus().rateGiven());
        json.writeNumberField("glitches", findings.bus().glitches());
        json.writeBooleanField("wire", findings.bus().wire());
        json.writeEndObject();
    }

    /** What the bus was taken for, and the runner-up. */
    private void recognition(Recognition r) throws IOException {
        if (findings.bus().dataBitsPerSecond() > 0) {
            significant("data_rate_bit_per_s", findings.bus().dataBitsPerSecond(), 12);
        }
        json.writeBooleanField("coding_given", r.given());
        if (!Double.isNaN(r.confidence())) significant("coding_confidence", r.confidence(), 6);
        if (!Double.isNaN(r.explained())) significant("coding_explains", r.explained(), 6);
        if (r.runnerUp() != null) {
            text("runner_up_coding", r.runnerUp());
            significant("runner_up_explains", r.runnerUpExplained(), 6);
        }
    }

    private void frames() throws IOException {
        FrameLog log = findings.frames();
        json.writeObjectFieldStart("frames");
        json.writeNumberField("whole", log.wholeCount());
        json.writeNumberField("damaged", log.size() - log.wholeCount());
        int[] faults = new int[FrameFault.values().length];
        for (int i = 0; i < log.size(); i++) faults[log.fault(i).ordinal()]++;
        json.writeObjectFieldStart("faults");
        for (FrameFault f : FrameFault.values()) {
            if (f != FrameFault.NONE && faults[f.ordinal()] > 0) json.writeNumberField(f.text(), faults[f.ordinal()]);
        }
        json.writeEndObject();
        json.writeEndObject();
    }

    private void sender(Sender s) throws IOException {
        json.writeStartObject();
        text("label", s.label());
        text("name", s.name());
        significant("clock_ppm", s.clockPpm(), 9);
        significant("clock_ppm_error", s.clockPpmError(), 4);
        strings("messages", s.keys().stream().map(MessageKey::text).toList());
        SenderLevel level = SenderLevel.of(findings.frames(), findings.clashes(), findings.clashes().senders().indexOf(s));
        if (level != null) {
            json.writeObjectFieldStart("levels");
            text("unit", level.unit());
            significant("dominant", level.dominant(), 6);
            significant("recessive", level.recessive(), 6);
            significant("step", level.step(), 6);
            significant("step_error", level.stepError(), 3);
            json.writeNumberField("frames", level.frames());
            json.writeEndObject();
        }
        json.writeEndObject();
    }

    private void message(MessageFinding m) throws IOException {
        json.writeStartObject();
        text("id", MessageKey.text(m.key()));
        text("name", names.documented(m.key()) == null ? null : names.documented(m.key()).name());
        json.writeBooleanField("extended", MessageKey.isExtended(m.key()));
        json.writeNumberField("frames", m.frames());
        json.writeNumberField("damaged", m.damaged());
        strings("senders", m.senders().stream().map(names::label).toList());
        text("verdict", m.verdict().text());
        significant("strength", m.strength(), 6);
        array("schedules", m.schedules(), this::schedule);
        array("evidence", m.evidence(), this::evidence);
        array("alternatives", m.alternatives(), this::alternative);
        array("ablation", m.ablation(), this::ablated);
        text("wanted", m.wanted());
        text("by_design", m.byDesign());
        json.writeEndObject();
    }

    private void schedule(Schedule s) throws IOException {
        json.writeStartObject();
        text("sender", names.label(s.sender()));
        significant("period_s", s.periodSeconds(), 12);
        significant("period_error_s", s.periodErrorSeconds(), 4);
        json.writeNumberField("frames", s.frames());
        json.writeEndObject();
    }

    private void evidence(Evidence e) throws IOException {
        json.writeStartObject();
        text("kind", e.kind().text());
        text("says", e.says());
        significant("strength", e.strength(), 6);
        decimals("from_s", e.fromSeconds(), 12);
        decimals("until_s", e.untilSeconds(), 12);
        json.writeNumberField("frames", e.frames());
        json.writeBooleanField("conclusive", e.conclusive());
        json.writeObjectFieldStart("figures");
        for (Evidence.Figure f : e.figures()) significant(f.name(), f.value(), 6);
        json.writeEndObject();
        json.writeEndObject();
    }

    private void ablated(Ablated a) throws IOException {
        json.writeStartObject();
        text("without", a.without().text());
        text("verdict", a.verdict().text());
        significant("strength", a.strength(), 6);
        json.writeEndObject();
    }

    private void alternative(Alternative a) throws IOException {
        json.writeStartObject();
        text("explanation", a.explanation());
        text("standing", a.standing().name().toLowerCase(Locale.ROOT));
        text("because", a.because());
        json.writeEndObject();
    }

    private void reference(ReferenceFinding r) throws IOException {
        json.writeStartObject();
        text("node", r.node());
        text("file", r.source());
        json.writeBooleanField("fits", r.fits());
        text("sender", names.label(r.sender()));
        strings("silent", r.silent().stream().map(MessageKey::text).toList());
        strings("says", r.says());
        json.writeEndObject();
    }

    private void collision(Collision c) throws IOException {
        json.writeStartObject();
        decimals("time_s", c.atSeconds(), 12);
        text("id", MessageKey.text(c.key()));
        text("kind", c.kind().text());
        json.writeNumberField("bit", c.breakBit());
        json.writeNumberField("frames", c.frames().size());
        decimals("until_s", c.untilSeconds(), 12);
        text("first_sender", names.label(c.firstSender()));
        text("second_sender", names.label(c.secondSender()));
        text("first_meant", c.firstMeant() == null ? null : c.firstMeant().toString());
        text("second_meant", c.secondMeant() == null ? null : c.secondMeant().toString());
        text("on_wire", c.onWire() == null ? null : c.onWire().toString());
        json.writeNumberField("error_counter", c.errorCounter());
        json.writeBooleanField("conclusive", c.conclusive());
        text("because", c.because());
        json.writeEndObject();
    }

    private void instrument(InstrumentFinding i) throws IOException {
        json.writeStartObject();
        text("name", i.name());
        text("symptom", i.symptom().text());
        json.writeBooleanField("flapping", i.flapping());
        text("cause", i.cause().text());
        json.writeNumberField("reversals", i.reversals());
        significant("with_sender_change", i.withSenderChange(), 6);
        text("kind", i.lamp() ? "lamp" : "needle");
        text("signal", i.signal());
        text("unit", i.unit());
        text("id", MessageKey.text(i.key()));
        significant("reversals_per_minute", i.reversalsPerMinute(), 6);
        significant("chance", i.chance(), 6);
        significant("chance_error", i.chanceError(), 4);
        json.writeArrayFieldStart("levels");
        for (double level : i.levels()) number(Figures.significant(level, 9));
        json.writeEndArray();
        significant("swing", i.swing(), 9);
        significant("lit_share", i.litShare(), 6);
        text("says", i.says());
        json.writeEndObject();
    }

    private void notice(Notice n) throws IOException {
        json.writeStartObject();
        text("where", n.place().describe());
        text("says", n.says());
        json.writeEndObject();
    }

    private interface Item<T> {
        void write(T item) throws IOException;
    }

    private <T> void array(String name, List<T> items, Item<T> each) throws IOException {
        json.writeArrayFieldStart(name);
        for (T item : items) each.write(item);
        json.writeEndArray();
    }

    private void strings(String name, List<String> items) throws IOException {
        json.writeArrayFieldStart(name);
        for (String item : items) {
            if (item == null) json.writeNull();
            else json.writeString(PlainText.wellFormed(item));
        }
        json.writeEndArray();
    }

    private void text(String name, String value) throws IOException {
        if (value == null) json.writeNullField(name);
        else json.writeStringField(name, PlainText.wellFormed(value));
    }

    private void significant(String name, double value, int digits) throws IOException {
        json.writeFieldName(name);
        number(Figures.significant(value, digits));
    }

    private void decimals(String name, double value, int decimals) throws IOException {
        json.writeFieldName(name);
        number(Figures.decimals(value, decimals));
    }

    private void number(BigDecimal value) throws IOException {
        if (value == null) json.writeNull();
        else json.writeNumber(value);
    }
}
