package buswitness.schema;

import java.util.ArrayList;
import java.util.List;

/** Reads {@code while driving}: one course for whoever sends the message, or one for each of its nodes. */
final class CourseReader {
    private static final List<String> WORDS = List.of("points", "steps", "blinks", "counts");
    private static final double LONGEST_SECONDS = 86_400;

    private CourseReader() {}

    /** Adds what the value says; {@code nodes} are the layout's. */
    static void read(YamlValue value, String message, Signal signal, List<String> nodes, List<Fitting.Driving> out) {
        boolean byNode = value.isMap() && value.map().keys().stream().noneMatch(WORDS::contains);
        if (!byNode) {
            out.add(new Fitting.Driving(message, signal.name(), "", course(value, signal)));
            return;
        }
        YamlMap map = value.map();
        if (map.keys().isEmpty()) {
            throw value.fault("says nothing of the value", "write a value, or a range such as 60..95");
        }
        List<String> known = new ArrayList<>(nodes);
        known.addAll(WORDS);
        map.allow(known);
        for (String node : map.keys()) {
            out.add(new Fitting.Driving(message, signal.name(), node, course(map.get(node), signal)));
        }
    }

    private static Course course(YamlValue value, Signal signal) {
        if (!value.isMap()) return plain(value, signal);
        YamlMap map = value.map().allow(WORDS);
        if (map.keys().size() != 1) {
            throw value.fault("says " + (map.keys().isEmpty() ? "nothing" : "more than one thing") + " of the value",
                    "use one of " + String.join(", ", WORDS));
        }
        String word = map.keys().iterator().next();
        return switch (word) {
            case "blinks" -> {
                YamlMap blinks = map.get(word).map().allow("every", "on");
                yield new Course.Blinking(
                        blinks.need("every", "every: 0.7 s").quantity(Quantity.TIME, 1e-3, LONGEST_SECONDS),
                        blinks.has("on") ? blinks.get("on").quantity(Quantity.SHARE, 0, 1) : 0.5);
            }
            case "counts" -> new Course.Counting(map.get(word).whole(1, 1L << 48));
            default -> points(map.get(word), signal, word.equals("steps"));
        };
    }

    private static Course plain(YamlValue value, Signal signal) {
        String text = value.text().strip();
        if (List.of("true", "false", "yes", "no").contains(text)) return new Course.Constant(value.flag() ? 1 : 0);
        YamlValue.Range range = value.range();
        inside(value, range.from(), signal);
        inside(value, range.until(), signal);
        return range.from() == range.until() ? new Course.Constant(range.from())
                : new Course.Between(range.from(), range.until());
    }

    private static Course points(YamlValue value, Signal signal, boolean steps) {
        List<YamlValue> rows = value.list();
        if (rows.isEmpty()) throw value.fault("names no instant", "write pairs such as [[0 s, 20], [5 s, 90]]");
        double[] at = new double[rows.size()];
        double[] values = new double[rows.size()];
        for (int i = 0; i < at.length; i++) {
            List<YamlValue> pair = rows.get(i).list();
            if (pair.size() != 2) throw rows.get(i).fault("is no pair", "write a time and a value, such as [5 s, 90]");
            at[i] = pair.get(0).quantity(Quantity.TIME, 0, LONGEST_SECONDS);
            values[i] = pair.get(1).number();
            inside(pair.get(1), values[i], signal);
            if (i > 0 && at[i] <= at[i - 1]) {
                throw rows.get(i).fault("comes before the row above it", "put the times in order");
            }
        }
        return new Course.Points(at, values, steps);
    }

    /** A value that the field cannot carry would be sent as another one. */
    private static void inside(YamlValue at, double value, Signal signal) {
        double[] span = signal.span();
        double slack = Math.abs(signal.factor()) / 2;
        if (value >= span[0] - slack && value <= span[1] + slack) return;
        throw at.fault(YamlValue.shown(value) + " does not fit '" + signal.name() + "', which runs from "
                + YamlValue.shown(span[0]) + " to " + YamlValue.shown(span[1])
                + (signal.unit().isEmpty() ? "" : " " + signal.unit()), "correct the value, or the signal's bits");
    }
}
