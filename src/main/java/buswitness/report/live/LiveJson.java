package buswitness.report.live;

import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.live.LiveState;
import buswitness.live.LiveState.MessageNow;
import buswitness.live.LiveState.SenderNow;
import buswitness.report.parts.BusWords;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Shapes;
import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.util.List;

/** A live state for the page's script, in one line. Not meant for other programs: no format number, and it may change. */
final class LiveJson {
    private static final int MOST_ROWS = 60;

    private LiveJson() {}

    static String of(LiveState state) {
        StringWriter text = new StringWriter(4096);
        try (JsonGenerator json = new JsonFactory().createGenerator(text)) {
            write(state, new LiveWords(state), json);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return text.toString();
    }

    private static void write(LiveState state, LiveWords words, JsonGenerator json) throws IOException {
        json.writeStartObject();
        json.writeStringField("phase", state.phase().name().toLowerCase(java.util.Locale.ROOT));
        json.writeNumberField("now", Figures.decimals(state.nowSeconds(), 3));
        json.writeStringField("time", LiveWords.time(state.nowSeconds()));
        json.writeStringField("line", PlainText.name(state.line()));
        json.writeStringField("bus", words.bus());
        json.writeStringField("tone", words.tone());
        json.writeStringField("headline", words.headline());
        strings(json, "plain", words.plain());
        json.writeStringField("basis", words.basis());
        json.writeNumberField("damagedNow", words.damagedNow());
        json.writeNumberField("wholeNow", words.wholeNow());
        json.writeStringField("damagedAll", Figures.count(state.damaged()));
        json.writeStringField("wholeAll", Figures.count(state.whole()));
        json.writeStringField("load", words.load());
        LiveState.Seconds s = state.seconds();
        json.writeNumberField("first", s.first());
        json.writeFieldName("damaged");
        json.writeArray(s.damaged(), 0, s.damaged().length);
        json.writeFieldName("whole");
        json.writeArray(s.whole(), 0, s.whole().length);
        json.writeArrayFieldStart("marks");
        for (Mark m : state.marks()) {
            json.writeStartArray();
            json.writeNumber(Figures.decimals(m.atPicos() * 1e-12, 3));
            json.writeString(PlainText.cut(PlainText.clean(m.label()), 80));
            json.writeEndArray();
        }
        json.writeEndArray();
        strings(json, "gaps", state.gaps().stream().map(LiveJson::gap).toList());
        json.writeArrayFieldStart("senders");
        for (SenderNow sender : words.senders().subList(0, Math.min(MOST_ROWS, words.senders().size()))) {
            json.writeStartObject();
            int mark = sender.label().length() == 1 ? sender.label().charAt(0) - 'A' : 26;
            json.writeStringField("style", Shapes.style(mark));
            json.writeStringField("shape", Shapes.path(mark, 8, 8, 5));
            json.writeStringField("name", LiveWords.sender(sender));
            json.writeStringField("clock", LiveWords.clock(sender));
            json.writeStringField("sends", words.sends(sender));
            json.writeStringField("heard", words.heard(sender));
            json.writeBooleanField("silent", words.silent(sender));
            json.writeBooleanField("clashing", sender.clashing());
            json.writeEndObject();
        }
        json.writeEndArray();
        json.writeArrayFieldStart("messages");
        List<MessageNow> messages = words.messages();
        for (MessageNow m : messages.subList(0, Math.min(MOST_ROWS, messages.size()))) {
            json.writeStartObject();
            json.writeStringField("name", LiveWords.message(m));
            json.writeStringField("verdict", m.verdict().text());
            json.writeStringField("tone", switch (m.verdict()) {
                case TWO_SENDERS -> "yes";
                case ONE_SENDER -> "no";
                case UNDECIDED -> "undecided";
            });
            json.writeStringField("sure", LiveWords.sure(m));
            json.writeStringField("senders", m.senders().isEmpty() ? "" : Figures.list(m.senders(), 6));
            json.writeNumberField("damaged", m.damaged());
            json.writeEndObject();
        }
        json.writeEndArray();
        json.writeNumberField("moreMessages", Math.max(0, messages.size() - MOST_ROWS));
        strings(json, "instruments", words.instruments());
        strings(json, "warnings", words.warnings());
        json.writeStringField("recorder", words.recorder());
        json.writeStringField("says", PlainText.clean(state.recorder().says()));
        json.writeEndObject();
    }

    private static String gap(Gap g) {
        return BusWords.gap(g) + ".";
    }

    private static void strings(JsonGenerator json, String name, List<String> all) throws IOException {
        json.writeArrayFieldStart(name);
        for (String s : all) json.writeString(s);
        json.writeEndArray();
    }
}
