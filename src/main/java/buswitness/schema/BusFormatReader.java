package buswitness.schema;

import buswitness.schema.FieldFormat.Length;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Reads {@code format:} of a bus, as captures/bus-format.md describes it, and checks that a frame can be read by it. */
final class BusFormatReader {
    private static final int MOST_NAME_BITS = 48;
    /** Longest payload a frame may have. */
    static final int MOST_BYTES = 255;

    private final Map<String, FieldFormat> fields = new LinkedHashMap<>();
    private final LineFormat line;
    private boolean openEnded;

    private BusFormatReader(LineFormat line) {
        this.line = line;
    }

    static BusFormat read(YamlMap map) {
        map.allow("name", "title", "rate", "line", "fields", "arbitration", "checks", "response", "naming", "sleep", "note");
        YamlValue nameValue = map.need("name", "name: comfort-wire");
        String name = nameValue.text();
        if (!name.matches("[a-z][a-z0-9-]{0,30}")) {
            throw nameValue.fault("'" + name + "' is no short name", "use small letters, digits and hyphens");
        }
        String title = map.has("title") ? map.get("title").text() : name;
        double rate = map.has("rate") ? map.get("rate").quantity(Quantity.BIT_RATE, 100, 20e6) : Double.NaN;
        LineFormat line = LineFormatReader.read(map.need("line", "line: {kind: bytes, ...}").map());
        BusFormatReader reader = new BusFormatReader(line);
        reader.fields(map.need("fields", "fields: {address: {bits: 8}, data: {bits: 8, rest: 8}}").map());
        reader.checkLine(map);
        BusFormat.Arbitration arbitration = arbitration(map.need("arbitration", "arbitration: none"));
        CheckFormatReader checkReader = new CheckFormatReader(reader.fields);
        List<CheckFormat> checks = new ArrayList<>();
        if (map.has("checks")) {
            for (YamlValue check : map.get("checks").list()) checks.add(checkReader.read(check.map()));
        }
        ResponseFormat response = map.has("response") ? reader.response(map.get("response").map()) : null;
        BusFormat.Naming naming = reader.naming(map.need("naming", "naming: {message: [address], data: data}").map());
        return new BusFormat(name, title, rate, line, List.copyOf(reader.fields.values()), arbitration, checks,
                response, naming, map.has("sleep") ? sleep(map.get("sleep").map(), line) : null);
    }

    private static BusFormat.Sleep sleep(YamlMap map, LineFormat line) {
        map.allow("message", "first byte", "after", "note");
        if (!(line instanceof LineFormat.Bytes bytes) || bytes.wakeUp() == null) {
            throw map.fault("nothing wakes this bus", "add 'wake-up' to a line of bytes, or leave this out");
        }
        return new BusFormat.Sleep(map.need("message", "message: 0x3C").whole(0, (1L << MOST_NAME_BITS) - 1),
                (int) map.need("first byte", "first byte: 0x00").whole(0, 255),
                map.need("after", "after: 4 s").quantity(Quantity.TIME, 1e-3, 3600));
    }

    private static BusFormat.Arbitration arbitration(YamlValue value) {
        return switch (value.oneOf("identifier", "whole frame", "none")) {
            case "identifier" -> BusFormat.Arbitration.IDENTIFIER;
            case "whole frame" -> BusFormat.Arbitration.WHOLE_FRAME;
            default -> BusFormat.Arbitration.NONE;
        };
    }

    private void fields(YamlMap map) {
        int bits = 0;
        for (String name : map.keys()) {
            Layouts.named(name, map.keyPlace(name));
            YamlMap body = map.get(name).map();
            FieldFormat field = field(name, body);
            if (bytewise()) bits = aligned(map, field, bits);
            fields.put(name, field);
        }
        if (fields.isEmpty()) throw map.fault("describes no field", "add one, such as address: {bits: 8}");
        if (bytewise() && bits % 8 != 0) {
            throw map.fault("the fields end " + bits % 8 + " bits into a byte", "fill the last byte with a field");
        }
    }

    private boolean bytewise() {
        return line instanceof LineFormat.Bytes;
    }

    /** Bytes are filled by whole fields; one that may be absent, or is repeated, takes whole bytes. */
    private static int aligned(YamlMap map, FieldFormat field, int before) {
        boolean plain = field.when().isEmpty() && field.length() instanceof Length.One;
        if (!plain && (before % 8 != 0 || field.bits() % 8 != 0)) {
            throw map.fault(field.name(), "may be absent or repeated and yet takes parts of a byte",
                    "such a field begins with a byte and takes whole ones");
        }
        return plain ? before + field.bits() : before;
    }

    private FieldFormat field(String name, YamlMap body) {
        body.allow("bits", "is", "count", "counts", "plus", "rest", "when", "note");
        int bits = (int) body.need("bits", "bits: 8").whole(1, 48);
        long constant = body.has("is") ? body.get("is").whole(0, (1L << bits) - 1) : -1;
        Length length = length(body);
        if (!(length instanceof Length.One) && constant >= 0) {
            throw body.fault("is", "a repeated field has no fixed value", "leave it out");
        }
        return new FieldFormat(name, bits, length, constant, when(body.get("when")));
    }

    private Length length(YamlMap body) {
        if (body.has("rest")) {
            if (body.has("count")) throw body.fault("rest", "has both 'count' and 'rest'", "keep one of the two");
            if (line instanceof LineFormat.Stuffed) {
                throw body.fault("rest", "a frame of stuffed bits must tell its own end", "use 'count'");
            }
            if (openEnded) throw body.fault("rest", "a second field takes the rest", "count one of the two");
            openEnded = true;
            return new Length.Rest((int) body.get("rest").whole(1, MOST_BYTES));
        }
        if (!body.has("count")) {
            for (String word : List.of("counts", "plus")) {
                if (body.has(word)) throw body.fault(word, "says how to count, but not what", "add 'count: length'");
            }
            return new Length.One();
        }
        List<String> counters = new ArrayList<>();
        for (YamlValue counter : body.get("count").oneOrMore()) counters.add(earlier(counter).name());
        List<Integer> table = new ArrayList<>();
        if (body.has("counts")) {
            for (YamlValue entry : body.get("counts").list()) table.add((int) entry.whole(0, MOST_BYTES));
            for (String counter : counters) {
                if (table.size() != 1L << fields.get(counter).bits()) {
                    throw body.fault("counts", "has " + table.size() + " entries for the " + fields.get(counter).bits()
                            + " bits of '" + counter + "'", "write one for each of its values, from 0 on");
                }
            }
        }
        int plus = body.has("plus") ? (int) body.get("plus").whole(-MOST_BYTES, MOST_BYTES) : 0;
        return new Length.Counted(counters, table, plus);
    }

    /** {@code {field: value}} or {@code {field: [values]}}; a list of such maps where one of several is enough. */
    private List<FieldFormat.When> when(YamlValue value) {
        List<FieldFormat.When> out = new ArrayList<>();
        if (value == null) return out;
        for (YamlValue any : value.oneOrMore()) {
            Map<String, List<Long>> all = new HashMap<>();
            YamlMap map = any.map();
            for (String name : map.keys()) {
                if (!fields.containsKey(name)) throw NearestWord.unknown(map.keyPlace(name), "field", name, fields.keySet());
                List<Long> values = new ArrayList<>();
                for (YamlValue v : map.get(name).oneOrMore()) {
                    values.add(v.whole(0, (1L << fields.get(name).bits()) - 1));
                }
                all.put(name, List.copyOf(values));
            }
            out.add(new FieldFormat.When(all));
        }
        return out;
    }

    private FieldFormat earlier(YamlValue name) {
        FieldFormat field = fields.get(name.text());
        if (field == null) throw name.unknown("field before this one", fields.keySet());
        if (!(field.length() instanceof Length.One)) {
            throw name.fault("'" + name.text() + "' is repeated, so it is no number", "name a plain field");
        }
        return field;
    }

    private void checkLine(YamlMap map) {
        if (line instanceof LineFormat.Stuffed stuffed && !fields.containsKey(stuffed.stuffedUntil())) {
            throw map.get("line").map().get("stuffed until").unknown("field", fields.keySet());
        }
    }

    private ResponseFormat response(YamlMap map) {
        map.allow("kind", "at most", "crc", "sum", "xor", "note");
        YamlValue kindValue = map.need("kind", "kind: reply slot");
        ResponseFormat.Kind kind = switch (kindValue.oneOf("normalisation bit", "after end of data", "reply slot")) {
            case "normalisation bit" -> ResponseFormat.Kind.NORMALISATION_BIT;
            case "after end of data" -> ResponseFormat.Kind.AFTER_END_OF_DATA;
            default -> ResponseFormat.Kind.REPLY_SLOT;
        };
        boolean fits = switch (kind) {
            case NORMALISATION_BIT -> line instanceof LineFormat.VariablePulse;
            case AFTER_END_OF_DATA -> line instanceof LineFormat.PulseWidth;
            case REPLY_SLOT -> bytewise();
        };
        if (!fits) throw kindValue.fault("this line has no such response", "see captures/bus-format.md");
        int most = (int) map.need("at most", "at most: 3").whole(1, MOST_BYTES);
        return new ResponseFormat(kind, most, CheckFormatReader.kind(map, 8, false));
    }

    private BusFormat.Naming naming(YamlMap map) {
        map.allow("message", "sender", "receiver", "data", "answer", "note");
        List<String> message = new ArrayList<>();
        int bits = 0;
        YamlValue names = map.need("message", "message: [address]");
        for (YamlValue name : names.oneOrMore()) {
            bits += earlier(name).bits();
            message.add(name.text());
        }
        if (bits > MOST_NAME_BITS) {
            throw names.fault("a name of " + bits + " bits is too long", "use " + MOST_NAME_BITS + " at most");
        }
        YamlValue data = map.need("data", "data: data");
        FieldFormat payload = fields.get(data.text());
        if (payload == null) throw data.unknown("field", fields.keySet());
        if (payload.bits() != 8 && !(payload.length() instanceof Length.One && payload.bits() % 8 == 0)) {
            throw data.fault("a payload of " + payload.bits() + "-bit elements is no bytes", "use 8 bits");
        }
        return new BusFormat.Naming(message, plainOrNull(map.get("sender")), plainOrNull(map.get("receiver")),
                data.text(), answer(map.get("answer")));
    }

    private String answer(YamlValue value) {
        if (value == null) return null;
        if (!fields.containsKey(value.text())) throw value.unknown("field", fields.keySet());
        if (!bytewise()) throw value.fault("only bytes can be sent by another node", "leave this out");
        return value.text();
    }

    private String plainOrNull(YamlValue value) {
        return value == null ? null : earlier(value).name();
    }
}
