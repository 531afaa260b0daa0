package buswitness.simulate;

import buswitness.schema.Quantity;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.List;

/** Reads what a signal shows. */
final class ValueReader {
    private static final double ANY = 1e15;
    private static final List<String> BASES = List.of("constant", "ramp", "sine", "steps", "points", "wanders",
            "blinks", "counts", "pages", "check");

    private ValueReader() {}

    static ValueSource read(YamlValue value) {
        if (!value.isMap()) {
            String text = value.text();
            boolean flag = List.of("true", "false", "yes", "no").contains(text);
            return new ValueSource.Constant(flag ? value.flag() ? 1 : 0 : value.number(-ANY, ANY));
        }
        YamlMap map = value.map();
        List<String> known = new ArrayList<>(BASES);
        known.addAll(List.of("noise", "noise holds", "jumps"));
        map.allow(known);
        List<String> bases = map.keys().stream().filter(BASES::contains).toList();
        if (bases.size() != 1) {
            throw value.fault("says " + (bases.isEmpty() ? "nothing" : "more than one thing") + " of the value",
                    "use one of " + String.join(", ", BASES));
        }
        return additions(map, base(bases.get(0), map.get(bases.get(0))));
    }

    private static ValueSource additions(YamlMap map, ValueSource base) {
        ValueSource source = base;
        if (map.has("noise")) {
            double holds = map.has("noise holds") ? map.get("noise holds").quantity(Quantity.TIME, 0, 3600) : 0;
            source = new ValueSource.Noisy(source, map.get("noise").number(0, ANY), holds);
        } else if (map.has("noise holds")) {
            throw map.fault("noise holds", "'noise holds' stands here without 'noise'", "add 'noise: 0.5'");
        }
        if (map.has("jumps")) {
            YamlMap jumps = map.get("jumps").map().allow("to", "rate", "for");
            source = new ValueSource.Jumping(source, jumps.need("to", "to: 0").number(-ANY, ANY),
                    jumps.need("rate", "rate: 2 per s").quantity(Quantity.PER_TIME, 1e-4, 1e5),
                    jumps.need("for", "for: 200 ms").quantity(Quantity.TIME, 1e-6, 3600));
        }
        return source;
    }

    private static ValueSource base(String kind, YamlValue value) {
        return switch (kind) {
            case "constant" -> new ValueSource.Constant(value.number(-ANY, ANY));
            case "ramp" -> {
                YamlMap map = value.map().allow("from", "each second", "until");
                yield new ValueSource.Ramp(map.need("from", "from: 20").number(-ANY, ANY),
                        map.need("each second", "each second: 0.5").number(-ANY, ANY),
                        number(map, "until", Double.NaN));
            }
            case "sine" -> {
                YamlMap map = value.map().allow("middle", "swing", "every", "from");
                yield new ValueSource.Sine(map.need("middle", "middle: 50").number(-ANY, ANY),
                        map.need("swing", "swing: 10").number(-ANY, ANY),
                        map.need("every", "every: 8 s").quantity(Quantity.TIME, 1e-3, 1e6),
                        map.has("from") ? map.get("from").quantity(Quantity.TIME) : 0);
            }
            case "steps" -> points(value, true);
            case "points" -> points(value, false);
            case "wanders" -> wanders(value);
            case "blinks" -> {
                YamlMap map = value.map().allow("every", "on", "low", "high", "from");
                yield new ValueSource.Toggle(number(map, "low", 0), number(map, "high", 1),
                        map.need("every", "every: 0.7 s").quantity(Quantity.TIME, 1e-3, 1e6),
                        map.has("on") ? map.get("on").quantity(Quantity.SHARE, 0, 1) : 0.5,
                        map.has("from") ? map.get("from").quantity(Quantity.TIME) : 0);
            }
            case "counts" -> {
                YamlMap map = value.map().allow("modulo", "by");
                yield new ValueSource.Counter(map.need("modulo", "modulo: 16").whole(1, 1L << 48),
                        map.has("by") ? map.get("by").whole(-1_000_000, 1_000_000) : 1);
            }
            case "pages" -> pages(value);
            default -> check(value);
        };
    }

    private static double number(YamlMap map, String key, double otherwise) {
        return map.has(key) ? map.get(key).number(-ANY, ANY) : otherwise;
    }

    private static ValueSource points(YamlValue value, boolean steps) {
        List<YamlValue> rows = value.list();
        if (rows.isEmpty()) throw value.fault("names no instant", "write pairs such as [[0 s, 20], [5 s, 90]]");
        double[] at = new double[rows.size()];
        double[] values = new double[rows.size()];
        for (int i = 0; i < at.length; i++) {
            List<YamlValue> pair = rows.get(i).list();
            if (pair.size() != 2) throw rows.get(i).fault("is no pair", "write a time and a value, such as [5 s, 90]");
            at[i] = pair.get(0).quantity(Quantity.TIME, 0, 1e7);
            values[i] = pair.get(1).number(-ANY, ANY);
            if (i > 0 && at[i] <= at[i - 1]) {
                throw rows.get(i).fault("comes before the row above it", "put the times in order");
            }
        }
        return new ValueSource.Points(at, values, steps);
    }

    private static ValueSource wanders(YamlValue value) {
        YamlMap map = value.map().allow("from", "by", "between");
        YamlValue.Range range = map.need("between", "between: 0..100").range();
        if (!(range.from() < range.until())) throw map.get("between").fault("leaves no room", "write it like 0..100");
        return new ValueSource.Walk(map.need("from", "from: 50").number(range.from(), range.until()),
                map.need("by", "by: 2").number(0, ANY), range.from(), range.until());
    }

    private static ValueSource pages(YamlValue value) {
        List<YamlValue> list = value.list();
        if (list.isEmpty()) throw value.fault("names no page", "write it like [0, 1, 2]");
        long[] numbers = new long[list.size()];
        for (int i = 0; i < numbers.length; i++) numbers[i] = list.get(i).whole(0, 1L << 32);
        return new ValueSource.Pages(numbers);
    }

    private static ValueSource check(YamlValue value) {
        if (!value.isMap()) return new ValueSource.Check(value.oneOf("xor", "sum").equals("sum"), 0);
        YamlMap map = value.map().allow("kind", "start");
        return new ValueSource.Check(map.need("kind", "kind: xor").oneOf("xor", "sum").equals("sum"),
                map.has("start") ? (int) map.get("start").whole(0, 255) : 0);
    }
}
