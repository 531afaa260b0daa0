package buswitness.schema;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** Reads one entry of {@code checks:} of a bus format. */
final class CheckFormatReader {
    private final Map<String, FieldFormat> fields;

    CheckFormatReader(Map<String, FieldFormat> fields) {
        this.fields = fields;
    }

    CheckFormat read(YamlMap map) {
        map.allow("in", "from", "until", "crc", "sum", "xor", "parity", "note");
        FieldFormat in = field(map.need("in", "in: check"));
        if (!(in.length() instanceof FieldFormat.Length.One) || in.bits() > 32) {
            throw map.get("in").fault("'" + in.name() + "' can hold no check", "use a plain field of 32 bits at most");
        }
        YamlValue fromValue = map.need("from", "from: address");
        YamlValue untilValue = map.need("until", "until: data");
        FieldFormat from = field(fromValue);
        FieldFormat until = field(untilValue);
        List<String> order = List.copyOf(fields.keySet());
        if (order.indexOf(from.name()) > order.indexOf(until.name())) {
            throw untilValue.fault("'" + until.name() + "' comes before '" + from.name() + "'", "turn the two round");
        }
        int at = order.indexOf(in.name());
        if (order.indexOf(from.name()) <= at && at <= order.indexOf(until.name())) {
            throw untilValue.fault("the check would cover itself", "end the span before '" + in.name() + "'");
        }
        return new CheckFormat(in.name(), from.name(), until.name(), kind(map, in.bits(), true));
    }

    private FieldFormat field(YamlValue name) {
        FieldFormat field = fields.get(name.text());
        if (field == null) throw name.unknown("field", fields.keySet());
        return field;
    }

    /** The one kind that is named; null where none is and none is needed. */
    static CheckFormat.Kind kind(YamlMap map, int bits, boolean needed) {
        CheckFormat.Kind found = null;
        for (String word : List.of("crc", "sum", "xor", "parity")) {
            if (!map.has(word)) continue;
            if (found != null) throw map.fault(word, "is a second kind of check", "write each as a check of its own");
            found = switch (word) {
                case "crc" -> crc(map.get(word).map(), bits);
                case "sum" -> sum(map.get(word).map());
                case "xor" -> new CheckFormat.Kind.Xor(flag(map.get(word).map().allow("inverted"), "inverted"));
                default -> parity(map.get(word), bits);
            };
        }
        if (found == null && needed) {
            throw map.fault("says not how the check is computed", "add 'crc:', 'sum:', 'xor:' or 'parity:'");
        }
        return found;
    }

    private static CheckFormat.Kind crc(YamlMap map, int bits) {
        map.allow("width", "polynomial", "initial", "reflect in", "reflect out", "final xor", "note");
        int width = (int) map.need("width", "width: 8").whole(1, 32);
        if (width != bits) {
            throw map.get("width").fault("a check of " + width + " bits does not fit its " + bits + " bits",
                    "give both the same width");
        }
        long most = (1L << width) - 1;
        return new CheckFormat.Kind.Crc(width, map.need("polynomial", "polynomial: 0x1D").whole(1, most),
                map.has("initial") ? map.get("initial").whole(0, most) : 0, flag(map, "reflect in"),
                flag(map, "reflect out"), map.has("final xor") ? map.get("final xor").whole(0, most) : 0);
    }

    private static CheckFormat.Kind sum(YamlMap map) {
        map.allow("carry", "inverted", "note");
        return new CheckFormat.Kind.Sum(flag(map, "carry"), flag(map, "inverted"));
    }

    private static CheckFormat.Kind parity(YamlValue value, int bits) {
        List<Long> masks = new ArrayList<>();
        List<Boolean> inverted = new ArrayList<>();
        for (YamlValue one : value.list()) {
            YamlMap map = one.map().allow("mask", "inverted");
            masks.add(map.need("mask", "mask: 0x17").whole(1, (1L << 48) - 1));
            inverted.add(flag(map, "inverted"));
        }
        if (masks.size() != bits) {
            throw value.fault(masks.size() + " parity bits do not fill a field of " + bits + " bits",
                    "write one mask for each bit, the highest bit first");
        }
        return new CheckFormat.Kind.Parity(masks, inverted);
    }

    private static boolean flag(YamlMap map, String word) {
        return map.has(word) && map.get(word).flag();
    }
}
