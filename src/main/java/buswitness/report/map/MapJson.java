package buswitness.report.map;

import buswitness.Findings;
import buswitness.Version;
import buswitness.frames.MessageKey;
import buswitness.map.Answer;
import buswitness.map.BusMap;
import buswitness.map.Dependence;
import buswitness.map.Drift;
import buswitness.map.Learned;
import buswitness.map.Link;
import buswitness.map.MapMessage;
import buswitness.map.MapSender;
import buswitness.map.Order;
import buswitness.map.PayloadField;
import buswitness.map.Rhythm;
import buswitness.map.Span;
import buswitness.map.Together;
import buswitness.report.parts.Figures;
import buswitness.report.parts.JsonText;
import buswitness.report.parts.PlainText;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;

/** A map for programs, format {@code buswitness-map/1}. Unknown numbers are null. */
final class MapJson {
    private final BusMap map;
    private final JsonGenerator json;

    private interface Each<T> {
        void write(T item) throws IOException;
    }

    private MapJson(BusMap map, JsonGenerator json) {
        this.map = map;
        this.json = json;
    }

    static void write(BusMap map, OutputStream out) throws IOException {
        JsonText.write(out, json -> new MapJson(map, json).all());
    }

    private void all() throws IOException {
        json.writeStartObject();
        text("format", "buswitness-map/1");
        text("program", "Buswitness " + Version.text());
        array("recordings", map.recordings(), this::recording);
        array("senders", map.senders(), this::sender);
        array("messages", map.messages(), this::message);
        array("answers", map.answers(), this::answer);
        array("links", map.links(), this::link);
        array("rests", map.rests(), this::span);
        array("orders", map.orders(), this::order);
        array("together", map.together(), this::together);
        array("learned", map.learned(), this::learned);
        array("without", map.dependences(), this::dependence);
        if (map.drift() == null) json.writeNullField("drift");
        else array("drift", map.drift(), this::drift);
        json.writeArrayFieldStart("open");
        for (String s : map.open()) json.writeString(PlainText.wellFormed(s));
        json.writeEndArray();
        json.writeEndObject();
    }

    private void recording(Findings f) throws IOException {
        json.writeStartObject();
        text("file", f.recording().source());
        text("sha256", f.recording().sha256());
        number("duration_s", f.bus().durationPicos() * 1e-12, 12);
        text("coding", f.bus().coding());
        number("rate_bit_per_s", f.bus().bitsPerSecond(), 8);
        number("load", f.bus().load(), 4);
        json.writeNumberField("frames", f.frames().wholeCount());
        json.writeEndObject();
    }

    private void sender(MapSender s) throws IOException {
        json.writeStartObject();
        text("label", s.label());
        text("name", s.name());
        number("clock_ppm", s.clockPpm(), 6);
        number("clock_ppm_error", s.clockPpmError(), 3);
        number("bit_ppm", s.bitPpm(), 6);
        number("bit_ppm_error", s.bitPpmError(), 3);
        number("dominant_longer_ns", s.edgeNanos(), 5);
        number("dominant_longer_ns_error", s.edgeError(), 3);
        number("load", s.load(), 4);
        text("held_by", s.heldBy());
        keys("messages", s.keys());
        json.writeEndObject();
    }

    private void message(MapMessage m) throws IOException {
        json.writeStartObject();
        text("id", MessageKey.text(m.key()));
        json.writeBooleanField("extended", MessageKey.isExtended(m.key()));
        text("name", m.name());
        json.writeNumberField("frames", m.frames());
        json.writeNumberField("requests", m.remote());
        json.writeNumberField("length", m.length());
        json.writeNumberField("other_lengths", m.otherLengths());
        labels("senders", m.senders());
        text("sending", m.sending().text());
        array("schedules", m.rhythms(), this::rhythm);
        json.writeNumberField("event_frames", m.eventFrames());
        number("first_s", m.firstSeconds(), 12);
        number("last_s", m.lastSeconds(), 12);
        number("load", m.load(), 4);
        array("silences", m.silences(), this::span);
        json.writeArrayFieldStart("seen_in");
        for (int n : m.seenIn()) json.writeNumber(n);
        json.writeEndArray();
        array("bits_that_disagree", m.disagree(), b -> json.writeNumber(b));
        array("fields", m.fields(), this::field);
        json.writeEndObject();
    }

    private void rhythm(Rhythm r) throws IOException {
        json.writeStartObject();
        text("sender", r.sender() < 0 ? null : map.senders().get(r.sender()).label());
        number("period_s", r.periodSeconds(), 10);
        number("period_error_s", r.periodErrorSeconds(), 3);
        number("nominal_s", r.nominalSeconds(), 8);
        number("jitter_s", r.jitterSeconds(), 3);
        json.writeNumberField("frames", r.frames());
        json.writeEndObject();
    }

    private void field(PayloadField f) throws IOException {
        json.writeStartObject();
        text("kind", f.kind().text());
        json.writeNumberField("first_bit", f.firstBit());
        json.writeNumberField("width", f.width());
        json.writeBooleanField("low_byte_first", f.lowByteFirst());
        json.writeBooleanField("signed", f.signed());
        if (f.page() == null) json.writeNullField("page");
        else json.writeNumberField("page", f.page().value());
        number("confidence", f.confidence(), 3);
        json.writeNumberField("bits_that_changed", f.changingBits());
        json.writeNumberField("least", f.least());
        json.writeNumberField("most", f.most());
        text("detail", f.detail().isEmpty() ? null : f.detail());
        json.writeEndObject();
    }

    private void answer(Answer a) throws IOException {
        json.writeStartObject();
        text("asks", MessageKey.text(a.asks()));
        json.writeBooleanField("by_request", a.remote());
        text("answers", MessageKey.text(a.answers()));
        number("delay_s", a.delaySeconds(), 5);
        number("spread_s", a.spreadSeconds(), 3);
        json.writeNumberField("followed", a.followed());
        json.writeNumberField("frames", a.frames());
        number("log10_chance", a.logChance(), 4);
        json.writeEndObject();
    }

    private void link(Link l) throws IOException {
        json.writeStartObject();
        text("first", MessageKey.text(l.firstMessage()));
        json.writeNumberField("first_bit", map.message(l.firstMessage()).fields().get(l.firstField()).firstBit());
        text("second", MessageKey.text(l.secondMessage()));
        json.writeNumberField("second_bit", map.message(l.secondMessage()).fields().get(l.secondField()).firstBit());
        number("correlation", l.correlation(), 3);
        number("factor", l.factor(), 6);
        number("factor_error", l.factorError(), 3);
        number("offset", l.offset(), 6);
        number("log10_chance", l.logChance(), 4);
        json.writeEndObject();
    }

    private void span(Span s) throws IOException {
        json.writeStartObject();
        number("from_s", s.fromSeconds(), 12);
        number("until_s", s.untilSeconds(), 12);
        json.writeEndObject();
    }

    private void order(Order o) throws IOException {
        json.writeStartObject();
        text("what", o.start() ? "start" : "stop");
        number("at_s", o.atSeconds(), 12);
        array("steps", o.steps(), s -> {
            json.writeStartObject();
            text("id", MessageKey.text(s.key()));
            text("sender", s.sender() < 0 ? null : map.senders().get(s.sender()).label());
            number("after_s", s.afterSeconds(), 9);
            json.writeEndObject();
        });
        json.writeEndObject();
    }

    private void together(Together t) throws IOException {
        json.writeStartObject();
        keys("messages", t.keys());
        array("spans", t.spans(), this::span);
        json.writeEndObject();
    }

    private void learned(Learned l) throws IOException {
        json.writeStartObject();
        text("what", l.what());
        text("unit", l.unit().isEmpty() ? null : l.unit());
        text("kind", l.state() ? "state" : "reading");
        json.writeNumberField("told", l.told());
        array("candidates", l.candidates(), this::candidate);
        text("says", l.says().isEmpty() ? null : l.says());
        json.writeEndObject();
    }

    private void candidate(Learned.Candidate c) throws IOException {
        json.writeStartObject();
        text("id", MessageKey.text(c.key()));
        json.writeNumberField("first_bit", c.field().firstBit());
        json.writeNumberField("width", c.field().width());
        json.writeBooleanField("low_byte_first", c.field().lowByteFirst());
        json.writeBooleanField("signed", c.field().signed());
        json.writeNumberField("when", c.when());
        json.writeBooleanField("inverted", c.inverted());
        number("factor", c.factor(), 6);
        number("factor_error", c.factorError(), 3);
        number("offset", c.offset(), 6);
        number("offset_error", c.offsetError(), 3);
        number("scatter", c.scatter(), 4);
        json.writeNumberField("fit", c.matched());
        number("log10_odds", c.logOdds(), 4);
        number("log10_chance", c.logChance(), 4);
        json.writeEndObject();
    }

    private void dependence(Dependence d) throws IOException {
        json.writeStartObject();
        text("node", d.node());
        text("file", d.source());
        json.writeBooleanField("fits", d.fits());
        keys("own", d.own());
        keys("depend", d.depend());
        text("sender", d.sender() < 0 ? null : map.senders().get(d.sender()).label());
        json.writeEndObject();
    }

    private void drift(Drift d) throws IOException {
        json.writeStartObject();
        text("side", d.side().name().toLowerCase(Locale.ROOT));
        text("id", d.key() == MessageKey.UNKNOWN ? null : MessageKey.text(d.key()));
        text("subject", d.subject());
        text("says", d.says());
        json.writeBooleanField("open", d.open());
        json.writeEndObject();
    }

    private <T> void array(String name, List<T> items, Each<T> each) throws IOException {
        json.writeArrayFieldStart(name);
        for (T item : items) each.write(item);
        json.writeEndArray();
    }

    private void keys(String name, List<Long> keys) throws IOException {
        array(name, keys, k -> json.writeString(MessageKey.text(k)));
    }

    private void labels(String name, List<Integer> senders) throws IOException {
        array(name, senders, s -> json.writeString(map.senders().get(s).label()));
    }

    private void text(String name, String value) throws IOException {
        if (value == null) json.writeNullField(name);
        else json.writeStringField(name, PlainText.wellFormed(value));
    }

    private void number(String name, double value, int digits) throws IOException {
        BigDecimal rounded = Figures.significant(value, digits);
        if (rounded == null) json.writeNullField(name);
        else json.writeNumberField(name, rounded);
    }
}
