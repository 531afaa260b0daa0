package buswitness.schema;

import buswitness.schema.LineFormat.Pulse;

/** Reads {@code line:} of a bus format: how bits or bytes lie on the wire. */
final class LineFormatReader {
    private static final double LONGEST_MICROS = 1e6;

    private LineFormatReader() {}

    static LineFormat read(YamlMap map) {
        return switch (map.need("kind", "kind: bytes").oneOf("stuffed bits", "variable pulses", "pulse width", "bytes")) {
            case "stuffed bits" -> stuffed(map);
            case "variable pulses" -> variablePulse(map);
            case "pulse width" -> pulseWidth(map);
            default -> bytes(map);
        };
    }

    private static int idle(YamlMap map) {
        return map.has("idle level") ? (int) map.get("idle level").whole(0, 1) : -1;
    }

    private static LineFormat stuffed(YamlMap map) {
        map.allow("kind", "idle level", "stuff after", "stuffed until", "end bits", "rest bits", "acknowledge",
                "error flags", "note");
        int after = (int) map.need("stuff after", "stuff after: 5").whole(0, 16);
        boolean flags = flag(map, "error flags");
        if (after == 1) throw map.get("stuff after").fault("one bit makes no run", "use 2 or more, or 0 for none");
        if (flags && after == 0) {
            throw map.fault("error flags", "without stuffing no flag can be told from data", "leave one of the two out");
        }
        int end = (int) map.need("end bits", "end bits: 7").whole(1, 100);
        if (end <= after) {
            throw map.get("end bits").fault(end + " resting bits can stand in a frame stuffed after " + after,
                    "use " + (after + 1) + " or more");
        }
        return new LineFormat.Stuffed(idle(map), after, map.need("stuffed until", "stuffed until: check").text(),
                end, (int) map.need("rest bits", "rest bits: 3").whole(0, 1000), flag(map, "acknowledge"), flags);
    }

    private static LineFormat variablePulse(YamlMap map) {
        map.allow("kind", "idle level", "short", "long", "start", "end of data", "end of frame", "rest", "break",
                "note");
        Pulse brief = pulse(map, "short");
        Pulse lengthy = pulse(map, "long");
        apart(map, "long", brief, lengthy);
        Pulse start = pulse(map, "start");
        apart(map, "start", lengthy, start);
        Pulse endOfData = pulse(map, "end of data");
        apart(map, "end of data", lengthy, endOfData);
        Pulse endOfFrame = pulse(map, "end of frame");
        apart(map, "end of frame", endOfData, endOfFrame);
        return new LineFormat.VariablePulse(idle(map), brief, lengthy, start, endOfData, endOfFrame, micros(map, "rest"),
                pulse(map, "break"));
    }

    private static LineFormat pulseWidth(YamlMap map) {
        map.allow("kind", "idle level", "bit", "one", "zero", "start", "start to first bit", "end of data",
                "end of frame", "rest", "break", "note");
        Pulse one = pulse(map, "one");
        Pulse zero = pulse(map, "zero");
        apart(map, "zero", one, zero);
        Pulse start = pulse(map, "start");
        apart(map, "start", zero, start);
        Pulse bit = pulse(map, "bit");
        Pulse endOfData = pulse(map, "end of data");
        apart(map, "end of data", bit, endOfData);
        Pulse endOfFrame = pulse(map, "end of frame");
        apart(map, "end of frame", endOfData, endOfFrame);
        return new LineFormat.PulseWidth(idle(map), bit, one, zero, start, pulse(map, "start to first bit"), endOfData,
                endOfFrame, micros(map, "rest"), pulse(map, "break"));
    }

    private static LineFormat bytes(YamlMap map) {
        map.allow("kind", "idle level", "low bit first", "parity", "stop bits", "break bits", "break end",
                "longest gap bits", "rest bits", "address rate", "wake-up", "note");
        int parity = !map.has("parity") ? 0 : switch (map.get("parity").oneOf("none", "odd", "even")) {
            case "odd" -> 1;
            case "even" -> 2;
            default -> 0;
        };
        int breakBits = map.has("break bits") ? (int) map.get("break bits").whole(11, 1000) : 0;
        int breakEnd = map.has("break end") ? (int) map.get("break end").whole(1, 1000) : breakBits > 0 ? 1 : 0;
        YamlValue rest = map.need("rest bits", "rest bits: 20");
        double gap = map.need("longest gap bits", "longest gap bits: 10").number(0, 1e5);
        double restBits = rest.number(1, 1e6);
        if (restBits <= gap) {
            throw rest.fault("a rest of " + rest.text() + " bits may also stand within a frame",
                    "use more than 'longest gap bits'");
        }
        double address = map.has("address rate") ? map.get("address rate").quantity(Quantity.BIT_RATE, 1, 1e4) : 0;
        return new LineFormat.Bytes(idle(map), map.has("low bit first") && map.get("low bit first").flag(), parity,
                map.has("stop bits") ? (int) map.get("stop bits").whole(1, 2) : 1, breakBits, breakEnd, gap, restBits,
                address, map.has("wake-up") ? pulse(map, "wake-up") : null);
    }

    private static boolean flag(YamlMap map, String word) {
        return map.has(word) && map.get(word).flag();
    }

    private static double micros(YamlMap map, String word) {
        return 1e6 * map.need(word, word + ": 300 us").quantity(Quantity.TIME, 1e-6, LONGEST_MICROS * 1e-6);
    }

    private static Pulse pulse(YamlMap map, String word) {
        String example = word + ": {sent: 64 us, at least: 34 us, at most: 96 us}";
        YamlMap body = map.need(word, example).map().allow("sent", "at least", "at most", "note");
        double sent = micros(body, "sent");
        double from = body.has("at least") ? micros(body, "at least") : sent;
        double until = body.has("at most") ? micros(body, "at most") : Double.POSITIVE_INFINITY;
        if (!(from <= sent && sent <= until)) {
            throw map.fault(word, "what is sent lies outside of what is taken", "correct one of the three times");
        }
        return new Pulse(sent, from, until);
    }

    private static void apart(YamlMap map, String word, Pulse shorter, Pulse longer) {
        if (longer.from() < shorter.until()) {
            throw map.fault(word, "could be taken for the symbol before it",
                    "let 'at least' be no less than that one's 'at most'");
        }
    }
}
