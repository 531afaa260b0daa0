package buswitness.report.predict;

import buswitness.Version;
import buswitness.frames.MessageKey;
import buswitness.instruments.Symptom;
import buswitness.predict.Conflict;
import buswitness.predict.Forecast;
import buswitness.predict.InstrumentOutlook;
import buswitness.predict.MeetingOutlook;
import buswitness.predict.ProtectionOutlook;
import buswitness.predict.ResponseTime;
import buswitness.predict.Spread;
import buswitness.predict.Stream;
import buswitness.predict.Supply;
import buswitness.predict.Tried;
import buswitness.report.parts.Figures;
import buswitness.report.parts.JsonText;
import buswitness.report.parts.PlainText;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.util.List;

/** A forecast for programs, format {@code buswitness-prediction/1}. Unknown numbers are null, so are infinite ones. */
final class PredictJson {
    private static final int DIGITS = 6;

    private final Forecast forecast;
    private final JsonGenerator json;

    private PredictJson(Forecast forecast, JsonGenerator json) {
        this.forecast = forecast;
        this.json = json;
    }

    static void write(Forecast forecast, OutputStream out) throws IOException {
        JsonText.write(out, json -> new PredictJson(forecast, json).all());
    }

    private interface Each<T> {
        void write(T item) throws IOException;
    }

    private void all() throws IOException {
        json.writeStartObject();
        text("format", "buswitness-prediction/1");
        text("program", "Buswitness " + Version.text());
        text("answer", forecast.answer().text());
        texts("layouts", forecast.sources());
        bus();
        simulated();
        array("conflicts", forecast.conflicts(), this::conflict);
        array("instruments", forecast.supplies(), this::instrument);
        array("protections", forecast.protections(), this::protection);
        array("meetings", forecast.meetings(), this::meeting);
        array("remedies", forecast.remedies(), this::remedy);
        array("response_times", forecast.responses(), this::response);
        json.writeEndObject();
    }

    private void bus() throws IOException {
        json.writeObjectFieldStart("bus");
        text("name", forecast.bus().name());
        text("coding", forecast.bus().coding());
        number("rate_bit_per_s", forecast.bus().bitsPerSecond());
        number("load_least", forecast.load().least());
        number("load_most", forecast.load().most());
        texts("load_not_counted", forecast.load().notCounted());
        texts("nodes", forecast.bus().nodes());
        array("sends", forecast.bus().streams(), this::stream);
        json.writeEndObject();
    }

    private void stream(Stream s) throws IOException {
        json.writeStartObject();
        text("node", s.node());
        message(s.key());
        text("layout", s.source());
        number("period_s", s.message().everySeconds());
        json.writeEndObject();
    }

    private void simulated() throws IOException {
        if (!forecast.notSimulated().isEmpty()) {
            json.writeNullField("simulated");
            text("not_simulated", forecast.notSimulated());
            return;
        }
        json.writeObjectFieldStart("simulated");
        json.writeNumberField("drives", forecast.options().drives());
        number("drive_s", forecast.options().seconds());
        json.writeNumberField("seed", forecast.options().seed());
        json.writeEndObject();
    }

    private void conflict(Conflict c) throws IOException {
        json.writeStartObject();
        text("kind", c.kind().text());
        if (c.key() < 0) json.writeNullField("id");
        else message(c.key());
        text("first", c.first());
        text("first_says", c.firstSays());
        text("second", c.second());
        text("second_says", c.secondSays());
        json.writeEndObject();
    }

    private void instrument(Supply s) throws IOException {
        json.writeStartObject();
        text("name", s.instrument().name());
        message(MessageKey.of(s.instrument().message()));
        text("signal", s.instrument().signal().name());
        text("supply", s.kind().text());
        texts("carriers", s.carriers());
        texts("others", s.others());
        for (InstrumentOutlook i : forecast.instruments()) if (i.instrument().equals(s.instrument())) outlook(i);
        json.writeEndObject();
    }

    private void outlook(InstrumentOutlook i) throws IOException {
        text("symptom", i.worst().text());
        text("cause", i.cause().text());
        json.writeNumberField("drives", i.drives());
        json.writeObjectFieldStart("drives_by_symptom");
        for (Symptom s : Symptom.values()) {
            if (i.symptoms().containsKey(s)) json.writeNumberField(s.text(), i.symptoms().get(s));
        }
        json.writeEndObject();
        spread("reversals_per_minute", i.perMinute());
        if (i.lamp()) {
            spread("lit_share", i.litShare());
            return;
        }
        text("unit", i.instrument().signal().unit());
        spread("told_low", i.low());
        spread("told_high", i.high());
        spread("swing_share", i.swing());
        spread("needle_low_share", i.needleLow());
        spread("needle_high_share", i.needleHigh());
    }

    private void protection(ProtectionOutlook p) throws IOException {
        json.writeStartObject();
        text("name", p.protection().name());
        text("node", p.protection().node());
        text("does", p.protection().does());
        texts("carriers", p.carriers());
        texts("others", p.others());
        json.writeNumberField("drives", p.drives());
        json.writeNumberField("drives_it_acts", p.acts());
        spread("condition_held_s", p.longest());
        json.writeEndObject();
    }

    private void meeting(MeetingOutlook m) throws IOException {
        json.writeStartObject();
        message(m.key());
        texts("nodes", m.nodes());
        number("rhythm_s", m.soonest().rhythmSeconds());
        spread("every_s", m.soonest().every());
        number("soonest_s", m.soonest().soonestSeconds());
        array("pairs", m.pairs(), p -> {
            json.writeStartObject();
            texts("nodes", List.of(p.first(), p.second()));
            number("rhythm_s", p.rhythmSeconds());
            spread("every_s", p.every());
            number("soonest_s", p.soonestSeconds());
            json.writeEndObject();
        });
        json.writeNumberField("drives", m.anyDrives());
        json.writeNumberField("drives_with_damage", m.brokenAnyway());
        json.writeNumberField("drives_made_to_meet", m.drives());
        json.writeNumberField("drives_made_to_meet_with_damage", m.broken());
        json.writeNumberField("drives_in_the_same_bit", m.headOn());
        spread("damaged_frames", m.damaged());
        spread("silence_s", m.silence());
        array("fates", m.fates(), f -> {
            json.writeStartObject();
            text("node", f.node());
            spread("transmit_errors", f.counter());
            json.writeNumberField("drives_error_passive", f.errorPassive());
            json.writeNumberField("drives_bus_off", f.busOff());
            json.writeEndObject();
        });
        json.writeEndObject();
    }

    private void remedy(Tried t) throws IOException {
        json.writeStartObject();
        array("steps", t.steps(), this::step);
        json.writeNumberField("clashes_before", t.clashesBefore());
        json.writeNumberField("clashes_left", t.clashesLeft());
        spread("damaged_frames", t.damaged());
        json.writeNumberField("instruments_served", t.served());
        json.writeNumberField("instruments", t.wanted());
        texts("not_served", t.unserved());
        texts("lit_throughout", t.litAlong());
        array("readers_losing", t.losing(), this::reader);
        array("readers_following", t.following(), this::reader);
        json.writeNumberField("effort", t.effort());
        json.writeNumberField("risk", t.risk());
        if (t.possible() == null) json.writeNullField("possible");
        else json.writeBooleanField("possible", t.possible());
        json.writeNumberField("drives", t.drives());
        number("drive_s", t.driveSeconds());
        json.writeEndObject();
    }

    private void step(Tried.Step s) throws IOException {
        json.writeStartObject();
        text("kind", s.kind().text());
        text("node", s.node().isEmpty() ? null : s.node());
        texts("messages", s.keys().stream().map(MessageKey::text).toList());
        texts("moved_to", s.moved().stream().map(MessageKey::text).toList());
        text("instrument", s.instrument().isEmpty() ? null : s.instrument());
        text("detail", s.detail().isEmpty() ? null : s.detail());
        json.writeEndObject();
    }

    private void reader(Tried.Reader r) throws IOException {
        json.writeStartObject();
        text("node", r.node());
        message(r.key());
        json.writeEndObject();
    }

    private void response(ResponseTime r) throws IOException {
        json.writeStartObject();
        text("node", r.node());
        message(r.key());
        number("period_s", r.periodSeconds());
        number("length_s", r.lengthSeconds());
        number("jitter_s", r.jitterSeconds());
        number("response_s", r.responseSeconds());
        json.writeNumberField("instances", r.instances());
        json.writeBooleanField("late", r.late());
        text("not_analysed", r.notAnalysed().isEmpty() ? null : r.notAnalysed());
        json.writeEndObject();
    }

    private void message(long key) throws IOException {
        text("id", MessageKey.text(key));
        json.writeBooleanField("extended", MessageKey.isExtended(key));
        text("message", forecast.bus().nameOf(key));
    }

    private void spread(String name, Spread s) throws IOException {
        json.writeObjectFieldStart(name);
        number("least", s.least());
        number("median", s.median());
        number("most", s.most());
        json.writeNumberField("drives", s.drives());
        json.writeEndObject();
    }

    private void text(String name, String value) throws IOException {
        if (value == null) json.writeNullField(name);
        else json.writeStringField(name, PlainText.wellFormed(value));
    }

    private void texts(String name, List<String> values) throws IOException {
        array(name, values, v -> json.writeString(PlainText.wellFormed(v)));
    }

    private void number(String name, double value) throws IOException {
        BigDecimal rounded = Figures.significant(value, DIGITS);
        json.writeFieldName(name);
        if (rounded == null) json.writeNull();
        else json.writeNumber(rounded);
    }

    private <T> void array(String name, List<T> items, Each<T> each) throws IOException {
        json.writeArrayFieldStart(name);
        for (T item : items) each.write(item);
        json.writeEndArray();
    }
}
