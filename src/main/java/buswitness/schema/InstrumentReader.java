package buswitness.schema;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Reads one entry of {@code instruments:}: a lamp where it says {@code lit when}, else a needle. */
final class InstrumentReader {
    /** A needle whose settling time nobody documented; common practice for damped movements, no source. */
    static final double SETTLES_SECONDS = 0.5;
    private static final double LONGEST_SECONDS = 3600;
    private static final Pattern BOUND = Pattern.compile("at (least|most)\\s+(\\S+)");

    private final List<Message> messages;

    InstrumentReader(List<Message> messages) {
        this.messages = messages;
    }

    private record Shown(Message message, Signal signal) {}

    private record TimeOut(double seconds, String then, YamlValue at) {}

    Instrument read(String name, YamlMap body) {
        boolean lamp = body.has("lit when") || body.has("blinks");
        if (lamp) {
            body.allow("shows", "lit when", "blinks", "time-out", "note", Known.WORD);
        } else {
            body.allow("shows", "from", "to", "points", "settles in", "travels at most", "time-out", "lit when",
                    "blinks", "note", Known.WORD);
        }
        Known.check(body);
        Shown shown = shown(body.need("shows", "shows: coolant temperature"));
        return lamp ? lamp(name, body, shown) : gauge(name, body, shown);
    }

    /** A signal by its name, or {@code message / signal} where two messages use the same name. */
    private Shown shown(YamlValue value) {
        String wanted = value.text();
        List<Shown> hits = new ArrayList<>();
        List<String> names = new ArrayList<>();
        for (Message message : messages) {
            for (Signal signal : message.carries()) {
                String full = message.name() + " / " + signal.name();
                if (full.equals(wanted)) return new Shown(message, signal);
                if (signal.name().equals(wanted)) hits.add(new Shown(message, signal));
                names.add(signal.name());
            }
        }
        if (hits.size() == 1) return hits.get(0);
        if (hits.isEmpty()) throw value.unknown("signal", names);
        throw value.fault("'" + wanted + "' is carried by " + hits.size() + " messages", "say which: "
                + String.join(" or ", hits.stream().limit(6)
                        .map(h -> "'" + h.message().name() + " / " + wanted + "'").toList()));
    }

    private static Gauge gauge(String name, YamlMap body, Shown shown) {
        if (body.has("points") == (body.has("from") || body.has("to"))) {
            throw body.fault(body.has("points") ? "has both 'points' and 'from' or 'to'" : "has no scale",
                    "write 'from: 50, to: 130', or 'points: {50: 0 %, 130: 100 %}'; a lamp needs 'lit when'");
        }
        List<double[]> scale = body.has("points") ? points(body.get("points")) : ends(body);
        double[] values = scale.stream().mapToDouble(p -> p[0]).toArray();
        double[] shares = scale.stream().mapToDouble(p -> p[1]).toArray();
        double[] span = shown.signal().span();
        if (values[values.length - 1] < span[0] || values[0] > span[1]) {
            throw body.fault(body.has("points") ? "points" : "from", "the scale never meets the signal, which runs "
                    + "from " + spanText(shown.signal()), "correct the scale, or the signal's factor and offset");
        }
        double settles = body.has("settles in")
                ? body.get("settles in").quantity(Quantity.TIME, 0, 60) : SETTLES_SECONDS;
        double travel = Double.NaN;
        if (body.has("travels at most")) {
            travel = body.get("travels at most").quantity(Quantity.SHARE_PER_TIME);
            if (!(travel > 0)) {
                throw body.get("travels at most").fault("must be more than 0", "write it like 150 % per s");
            }
        }
        TimeOut timeOut = timeOut(body);
        double share = Double.NaN;
        if (timeOut.then() != null && !timeOut.then().equals("hold")) {
            share = timeOut.at().quantity(Quantity.SHARE, 0, 1);
        }
        return new Gauge(name, shown.message(), shown.signal(), values, shares, settles, travel, timeOut.seconds(),
                share);
    }

    private static List<double[]> ends(YamlMap body) {
        double from = body.need("from", "from: 50").number();
        double to = body.need("to", "to: 130").number();
        if (from == to) throw body.fault("to", "the scale ends where it begins", "give two different values");
        return from < to ? List.of(new double[] {from, 0}, new double[] {to, 1})
                : List.of(new double[] {to, 1}, new double[] {from, 0});
    }

    private static List<double[]> points(YamlValue value) {
        YamlMap map = value.map();
        List<double[]> points = new ArrayList<>();
        int turns = 0;
        for (String key : map.keys()) {
            if (!key.matches("[-+]?(\\d+(\\.\\d*)?|\\.\\d+)")) {
                throw map.fault(key, "'" + key + "' is not a value on the scale", "write points like 80: 45 %");
            }
            double[] point = {Double.parseDouble(key), map.get(key).quantity(Quantity.SHARE, 0, 1)};
            if (!points.isEmpty()) {
                double[] last = points.get(points.size() - 1);
                if (!(point[0] > last[0])) {
                    throw map.fault(key, "the points do not ascend: " + key + " comes after "
                            + YamlValue.shown(last[0]), "put the smallest value first");
                }
                if (point[1] != last[1]) {
                    int way = point[1] > last[1] ? 1 : -1;
                    if (turns == -way) {
                        throw map.fault(key, "the needle turns back here", "let the shares only rise or only fall");
                    }
                    turns = way;
                }
            }
            points.add(point);
        }
        if (points.size() < 2) throw value.fault("a scale needs two points at least", "add the other end");
        if (turns == 0) throw value.fault("the needle never moves on this scale", "give the ends different shares");
        return points;
    }

    private static Lamp lamp(String name, YamlMap body, Shown shown) {
        YamlValue when = body.need("lit when", "lit when: 1");
        Lamp condition = condition(name, shown, when);
        TimeOut timeOut = timeOut(body);
        boolean lit = false;
        double seconds = timeOut.seconds();
        if (timeOut.then() != null) {
            String then = timeOut.at().oneOf("lit", "dark", "hold");
            lit = then.equals("lit");
            if (then.equals("hold")) seconds = Double.NaN;
        }
        return new Lamp(name, shown.message(), shown.signal(), condition.litFrom(), condition.litUntil(),
                condition.inverted(), body.has("blinks") && body.get("blinks").flag(), seconds, lit);
    }

    /** A condition on a value, as {@code lit when} writes it. */
    Lamp condition(String name, YamlValue signal, YamlValue when) {
        return condition(name, shown(signal), when);
    }

    private static Lamp condition(String name, Shown shown, YamlValue when) {
        String text = when.text().strip();
        boolean inverted = text.startsWith("not ");
        String rest = inverted ? text.substring(4).strip() : text;
        double[] span = shown.signal().span();
        double from;
        double until;
        Matcher bound = BOUND.matcher(rest);
        if (bound.matches()) {
            double limit = when.numberIn(bound.group(2));
            from = bound.group(1).equals("least") ? limit : Double.NEGATIVE_INFINITY;
            until = bound.group(1).equals("least") ? Double.POSITIVE_INFINITY : limit;
        } else {
            YamlValue.Range range = when.rangeIn(rest);
            from = range.from();
            until = range.until();
        }
        boolean always = from <= span[0] && until >= span[1];
        boolean never = from > span[1] || until < span[0];
        if (inverted ? always : never) {
            throw when.fault("the lamp could never be lit: the signal runs from " + spanText(shown.signal()),
                    "correct the condition or the signal");
        }
        if (inverted ? never : always) {
            throw when.fault("the lamp could never be dark: the signal runs from " + spanText(shown.signal()),
                    "correct the condition or the signal");
        }
        return new Lamp(name, shown.message(), shown.signal(), from, until, inverted, false, Double.NaN, false);
    }

    private static TimeOut timeOut(YamlMap body) {
        if (!body.has("time-out")) return new TimeOut(Double.NaN, null, null);
        YamlMap map = body.get("time-out").map().allow("after", "then");
        double after = map.need("after", "after: 2 s").quantity(Quantity.TIME, 1e-3, LONGEST_SECONDS);
        YamlValue then = map.need("then", "then: hold");
        return new TimeOut(after, then.text(), then);
    }

    private static String spanText(Signal signal) {
        double[] span = signal.span();
        String unit = signal.unit().isEmpty() ? "" : " " + signal.unit();
        return YamlValue.shown(span[0]) + " to " + YamlValue.shown(span[1]) + unit;
    }
}
