package buswitness.plan;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.StreamWriteFeature;
import java.io.IOException;
import java.io.StringWriter;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Entries as JSON and back. Unknown fields are passed over, so that an older program reads a newer file. */
final class EvidenceJson {
    static final String FORMAT = "buswitness-evidence/1";
    private static final JsonFactory JSON = JsonFactory.builder()
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION).enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN).build();

    private EvidenceJson() {}

    static String write(Entry entry) {
        StringWriter out = new StringWriter();
        try (JsonGenerator json = JSON.createGenerator(out)) {
            json.writeStartObject();
            if (entry instanceof Entry.Begun b) {
                json.writeStringField("kind", "begun");
                json.writeStringField("format", FORMAT);
                json.writeStringField("plan", b.plan());
                json.writeStringField("at", b.at());
            } else if (entry instanceof Entry.Unit u) {
                json.writeStringField("kind", "unit");
                json.writeStringField("unit", u.serial());
                json.writeStringField("at", u.at());
                json.writeObjectFieldStart("fields");
                for (Map.Entry<String, String> f : u.fields().entrySet()) json.writeStringField(f.getKey(), f.getValue());
                json.writeEndObject();
            } else if (entry instanceof Entry.Result r) {
                result(json, r);
            }
            json.writeEndObject();
        } catch (IOException e) {
            throw new IllegalStateException("a string took no text", e);
        }
        return out.toString();
    }

    private static void result(JsonGenerator json, Entry.Result r) throws IOException {
        json.writeStringField("kind", "result");
        json.writeStringField("unit", r.serial());
        json.writeStringField("step", r.step());
        json.writeStringField("part", r.part().text());
        json.writeStringField("outcome", r.outcome().text());
        json.writeStringField("at", r.at());
        json.writeStringField("by", r.by());
        json.writeStringField("recording", r.recording());
        json.writeStringField("sha256", r.sha256());
        json.writeStringField("note", r.note());
        json.writeArrayFieldStart("judgements");
        for (Judgement j : r.judgements()) {
            json.writeStartObject();
            json.writeStringField("what", j.what());
            json.writeStringField("expected", j.expected());
            number(json, "measured", j.measured());
            number(json, "uncertainty", j.uncertainty());
            json.writeStringField("unit", j.unit());
            json.writeStringField("outcome", j.outcome().text());
            number(json, "from_s", j.fromSeconds());
            number(json, "until_s", j.untilSeconds());
            json.writeStringField("says", j.says());
            json.writeEndObject();
        }
        json.writeEndArray();
        json.writeStringField("step_sha256", r.stepDigest());
        json.writeStringField("layout_sha256", r.layoutDigest());
    }

    private static void number(JsonGenerator json, String name, double value) throws IOException {
        if (Double.isNaN(value) || Double.isInfinite(value)) json.writeNullField(name);
        else json.writeNumberField(name, new BigDecimal(value).round(new MathContext(10)).stripTrailingZeros());
    }

    /**
     * @return null for a kind that this program does not know
     * @throws IOException where the text is no entry; its message is one clause
     */
    static Entry read(String text) throws IOException {
        Map<String, Object> map;
        try (JsonParser parser = JSON.createParser(text)) {
            if (parser.nextToken() != JsonToken.START_OBJECT) throw new IOException("is no JSON object");
            map = object(parser);
            if (parser.nextToken() != null) throw new IOException("goes on behind the entry");
        } catch (com.fasterxml.jackson.core.JsonProcessingException e) {
            throw new IOException("is no JSON (" + e.getOriginalMessage() + ")", e);
        }
        try {
            return switch (text(map, "kind")) {
                case "begun" -> begun(map);
                case "unit" -> unit(map);
                case "result" -> result(map);
                default -> null;
            };
        } catch (ClassCastException | IllegalArgumentException e) {
            throw new IOException("holds a value of the wrong kind", e);
        }
    }

    private static Entry begun(Map<String, Object> map) throws IOException {
        if (!FORMAT.equals(text(map, "format"))) {
            throw new IOException("is of format " + text(map, "format") + ", not " + FORMAT);
        }
        return new Entry.Begun(text(map, "plan"), text(map, "at"));
    }

    private static Entry unit(Map<String, Object> map) throws IOException {
        Map<String, String> fields = new LinkedHashMap<>();
        if (!(map.get("fields") instanceof Map<?, ?> given)) throw new IOException("has no fields");
        for (Map.Entry<?, ?> f : given.entrySet()) fields.put((String) f.getKey(), (String) f.getValue());
        return new Entry.Unit(text(map, "unit"), fields, text(map, "at"));
    }

    private static Entry result(Map<String, Object> map) throws IOException {
        List<Judgement> judgements = new ArrayList<>();
        if (!(map.get("judgements") instanceof List<?> list)) throw new IOException("has no judgements");
        for (Object o : list) {
            if (!(o instanceof Map<?, ?> raw)) throw new IOException("has a judgement that is no object");
            Map<String, Object> j = new LinkedHashMap<>();
            raw.forEach((k, v) -> j.put((String) k, v));
            judgements.add(new Judgement(text(j, "what"), text(j, "expected"), number(j, "measured"),
                    number(j, "uncertainty"), text(j, "unit"), Outcome.of(text(j, "outcome")), number(j, "from_s"),
                    number(j, "until_s"), text(j, "says")));
        }
        return new Entry.Result(text(map, "unit"), text(map, "step"), Step.Part.of(text(map, "part")),
                text(map, "step_sha256"), text(map, "layout_sha256"), text(map, "at"), text(map, "by"),
                text(map, "recording"), text(map, "sha256"), Outcome.of(text(map, "outcome")), judgements, text(map, "note"));
    }

    private static String text(Map<String, Object> map, String name) throws IOException {
        if (map.get(name) instanceof String s) return s;
        throw new IOException("has no text '" + name + "'");
    }

    private static double number(Map<String, Object> map, String name) {
        Object value = map.get(name);
        return value == null ? Double.NaN : ((Number) value).doubleValue();
    }

    private static Map<String, Object> object(JsonParser parser) throws IOException {
        Map<String, Object> map = new LinkedHashMap<>();
        while (parser.nextToken() == JsonToken.FIELD_NAME) {
            String name = parser.currentName();
            parser.nextToken();
            map.put(name, value(parser));
        }
        return map;
    }

    private static Object value(JsonParser parser) throws IOException {
        return switch (parser.currentToken()) {
            case START_OBJECT -> object(parser);
            case START_ARRAY -> {
                List<Object> list = new ArrayList<>();
                while (parser.nextToken() != JsonToken.END_ARRAY) list.add(value(parser));
                yield list;
            }
            case VALUE_STRING -> parser.getText();
            case VALUE_NUMBER_INT, VALUE_NUMBER_FLOAT -> parser.getDoubleValue();
            case VALUE_TRUE -> Boolean.TRUE;
            case VALUE_FALSE -> Boolean.FALSE;
            default -> null;
        };
    }
}
