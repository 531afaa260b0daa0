package buswitness.report.check;

import buswitness.Version;
import buswitness.plan.CheckState;
import buswitness.plan.CheckState.PartState;
import buswitness.plan.CheckState.StepState;
import buswitness.plan.Judgement;
import buswitness.plan.LaterFinding;
import buswitness.report.parts.Figures;
import buswitness.report.parts.JsonText;
import buswitness.report.parts.PlainText;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.util.List;
import java.util.Map;

/** A check for programs, format {@code buswitness-check/1}. Unknown numbers are null. */
final class CheckJson {
    private final JsonGenerator json;

    private CheckJson(JsonGenerator json) {
        this.json = json;
    }

    static void write(CheckState state, OutputStream out) throws IOException {
        JsonText.write(out, json -> new CheckJson(json).state(state, null));
    }

    static void later(List<LaterFinding> findings, CheckState state, OutputStream out) throws IOException {
        JsonText.write(out, json -> new CheckJson(json).state(state, findings));
    }

    private void state(CheckState state, List<LaterFinding> later) throws IOException {
        json.writeStartObject();
        text("format", "buswitness-check/1");
        text("program", "Buswitness " + Version.text());
        text("plan", state.plan().title());
        text("harness", state.plan().harness());
        text("unit", state.serial());
        json.writeObjectFieldStart("fields");
        for (Map.Entry<String, String> f : state.fields().entrySet()) text(PlainText.wellFormed(f.getKey()), f.getValue());
        json.writeEndObject();
        texts("missing_fields", state.missing());
        text("outcome", state.outcome().text());
        json.writeArrayFieldStart("steps");
        for (StepState s : state.steps()) step(s);
        json.writeEndArray();
        if (later != null) {
            json.writeArrayFieldStart("later");
            for (LaterFinding f : later) later(f);
            json.writeEndArray();
        }
        json.writeObjectFieldStart("evidence");
        text("file", state.evidence().file().toString());
        json.writeNumberField("entries", state.evidence().entries().size());
        text("last_hash", state.evidence().lastHash());
        json.writeEndObject();
        json.writeEndObject();
    }

    private void step(StepState s) throws IOException {
        json.writeStartObject();
        text("name", s.step().name());
        text("stage", s.step().stage().text());
        text("outcome", s.outcome().text());
        json.writeArrayFieldStart("parts");
        for (PartState p : s.parts()) {
            json.writeStartObject();
            text("part", p.part().text());
            text("outcome", p.outcome().text());
            json.writeStringField("stale_since", p.stale() == null ? "" : PlainText.wellFormed(p.stale()));
            if (p.result() != null) {
                text("at", p.result().at());
                text("by", p.result().by());
                text("recording", p.result().recording());
                text("sha256", p.result().sha256());
                text("note", p.result().note());
                json.writeArrayFieldStart("judgements");
                for (Judgement j : p.result().judgements()) judgement(j);
                json.writeEndArray();
            }
            json.writeEndObject();
        }
        json.writeEndArray();
        json.writeEndObject();
    }

    private void judgement(Judgement j) throws IOException {
        json.writeStartObject();
        text("what", j.what());
        text("expected", j.expected());
        number("measured", j.measured());
        number("uncertainty", j.uncertainty());
        text("unit", j.unit());
        text("outcome", j.outcome().text());
        number("from_s", j.fromSeconds());
        number("until_s", j.untilSeconds());
        text("says", j.says());
        json.writeEndObject();
    }

    private void later(LaterFinding f) throws IOException {
        json.writeStartObject();
        text("step", f.step());
        text("change", f.change().text());
        number("difference", f.difference());
        number("difference_error", f.error());
        json.writeFieldName("now");
        judgement(f.now());
        json.writeFieldName("before");
        if (f.before() == null) json.writeNull();
        else judgement(f.before());
        json.writeEndObject();
    }

    private void texts(String name, List<String> values) throws IOException {
        json.writeArrayFieldStart(name);
        for (String v : values) json.writeString(PlainText.wellFormed(v));
        json.writeEndArray();
    }

    private void text(String name, String value) throws IOException {
        json.writeStringField(name, PlainText.wellFormed(value).replace('\u00A0', ' '));
    }

    private void number(String name, double value) throws IOException {
        BigDecimal rounded = Figures.significant(value, 9);
        if (rounded == null) json.writeNullField(name);
        else json.writeNumberField(name, rounded);
    }
}
