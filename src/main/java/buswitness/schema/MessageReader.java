package buswitness.schema;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Reads one entry of {@code messages:} with its signals, and checks that they fit the payload and one another. */
final class MessageReader {
    private static final long LARGEST_BASE = 0x7FF;
    private static final long LARGEST_EXTENDED = 0x1FFF_FFFFL;
    private static final double SHORTEST_SECONDS = 1e-4;
    private static final double LONGEST_SECONDS = 3600;

    private final List<String> nodes;
    private final int mostBytes;
    private final BusFormat format;
    private final List<Fitting.Driving> driving;

    /**
     * @param coding  null where the layout leaves it open
     * @param format  null for CAN, CAN FD and where the coding is left open
     * @param driving takes what values do while driving
     */
    MessageReader(List<String> nodes, String coding, BusFormat format, List<Fitting.Driving> driving) {
        this.nodes = nodes;
        this.format = format;
        this.mostBytes = format != null ? format.mostDataBytes() : "can-fd".equals(coding) ? 64 : 8;
        this.driving = driving;
    }

    Message read(String name, YamlMap body) {
        body.allow("id", "extended", "from", "read by", "every", "on event", "length", "carries", "event for",
                "note", Known.WORD);
        Known.check(body);
        YamlValue id = body.need("id", "id: 0x1D0");
        int digits = format == null ? hexDigits(id, body.get("extended")) : formatDigits(id, body);
        int length = body.has("length") ? (int) body.get("length").whole(0, mostBytes) : -1;
        double every = body.has("every")
                ? body.get("every").quantity(Quantity.TIME, SHORTEST_SECONDS, LONGEST_SECONDS) : Double.NaN;
        boolean onEvent = body.has("on event") && body.get("on event").flag();
        List<Signal> signals = body.has("carries")
                ? signals(body.get("carries").map(), length) : List.of();
        for (Signal signal : signals) {
            YamlMap words = body.get("carries").map().get(signal.name()).map();
            if (words.has("while driving")) {
                CourseReader.read(words.get("while driving"), name, signal, nodes, driving);
            }
        }
        return new Message(name, id.whole(0, Long.MAX_VALUE), digits, nodeNames(body.get("from")),
                nodeNames(body.get("read by")), every, onEvent, length, signals, eventFor(body));
    }

    private List<String> eventFor(YamlMap body) {
        if (!body.has("event for")) return List.of();
        if (format == null || !format.name().equals("lin")) {
            throw body.fault("event for", "only LIN has event-triggered frames", "add 'coding: lin' or leave this out");
        }
        return body.get("event for").oneOrMore().stream().map(YamlValue::text).toList();
    }

    /** Three for a base identifier; eight where it is written with eight digits or called extended. */
    private static int hexDigits(YamlValue id, YamlValue extended) {
        long value = id.whole(0, LARGEST_EXTENDED);
        boolean eight = id.text().matches("0x[0-9a-fA-F]{8}");
        if (extended == null ? eight : extended.flag()) return 8;
        if (value > LARGEST_BASE) {
            throw id.fault(id.text() + " does not fit the 11 bits of a base identifier",
                    "write all eight digits, or 'extended: true', for an extended one");
        }
        if (eight) {
            throw extended.fault("an identifier of eight digits is extended", "write three digits, or leave this out");
        }
        return 3;
    }

    /** As many as the fields fill that name a message; fewer where the shorter name of a bus with two is written so. */
    private int formatDigits(YamlValue id, YamlMap body) {
        if (body.has("extended")) {
            throw body.fault("extended", "only CAN has extended identifiers", "leave this out");
        }
        int always = 0;
        for (String name : format.naming().message()) {
            FieldFormat field = format.field(name);
            if (field.when().isEmpty()) always += field.bits();
        }
        int bits = format.nameBits();
        long value = id.whole(0, (1L << bits) - 1);
        boolean written = id.text().matches("0x[0-9a-fA-F]{" + format.nameDigits(always) + "}");
        return format.nameDigits(always > 0 && written && value >>> always == 0 ? always : bits);
    }

    private List<String> nodeNames(YamlValue value) {
        List<String> names = new ArrayList<>();
        if (value == null) return names;
        for (YamlValue entry : value.oneOrMore()) {
            if (!nodes.contains(entry.text())) throw entry.unknown("node", nodes);
            if (names.contains(entry.text())) throw entry.fault("names '" + entry.text() + "' twice", "name it once");
            names.add(entry.text());
        }
        return names;
    }

    private List<Signal> signals(YamlMap map, int length) {
        int bits = (length >= 0 ? length : mostBytes) * 8;
        Map<String, Signal> done = new LinkedHashMap<>();
        // Fields without a page first: a page may be named by such a signal, wherever it stands.
        for (int pass = 0; pass < 2; pass++) {
            for (String name : map.keys()) {
                YamlMap body = map.get(name).map();
                if (body.has("page") != (pass == 1)) continue;
                Layouts.named(name, map.keyPlace(name));
                done.put(name, signal(name, body, bits, length >= 0, done));
            }
        }
        List<Signal> ordered = new ArrayList<>();
        for (String name : map.keys()) {
            Signal signal = done.get(name);
            for (Signal earlier : ordered) checkOverlap(map, earlier, signal);
            ordered.add(signal);
        }
        return ordered;
    }

    private Signal signal(String name, YamlMap body, int payloadBits, boolean lengthSaid, Map<String, Signal> pages) {
        body.allow("bits", "bit", "factor", "offset", "unit", "signed", "low byte first", "changes at most", "page",
                "while driving", "note", Known.WORD);
        Known.check(body);
        int[] field = field(body, payloadBits, lengthSaid);
        boolean lowByteFirst = body.has("low byte first") && body.get("low byte first").flag();
        if (lowByteFirst && (field[0] % 8 != 0 || field[1] % 8 != 0)) {
            throw body.fault("low byte first", "bits " + field[0] + ".." + (field[0] + field[1] - 1)
                    + " are not whole bytes, so no byte comes first", "use whole bytes such as 0..15");
        }
        boolean signed = body.has("signed") && body.get("signed").flag();
        double factor = body.has("factor") ? body.get("factor").number() : 1;
        if (factor == 0) throw body.get("factor").fault("a factor of 0 makes every value the same", "use another");
        double offset = body.has("offset") ? body.get("offset").number() : 0;
        String unit = body.has("unit") && !body.get("unit").isEmpty() ? body.get("unit").text() : "";
        double rate = Double.NaN;
        if (body.has("changes at most")) {
            rate = body.get("changes at most").quantityOf(unit, Quantity.PER_TIME);
            if (!(rate > 0)) throw body.get("changes at most").fault("must be more than 0", "write it like 3 per s");
        }
        Signal.Page page = body.has("page") ? page(body, payloadBits, lengthSaid, field, pages) : null;
        return new Signal(name, field[0], field[1], lowByteFirst, signed, factor, offset, unit, rate, page);
    }

    /** First bit and width of {@code bits: 0..7} or {@code bit: 12}. */
    private static int[] field(YamlMap body, int payloadBits, boolean lengthSaid) {
        if (body.has("bits") == body.has("bit")) {
            throw body.fault(body.has("bit") ? "has both 'bit' and 'bits'" : "says not which bits it takes",
                    "write either 'bit: 12' or 'bits: 0..7'");
        }
        if (body.has("bit")) {
            YamlValue bit = body.get("bit");
            int at = (int) bit.whole(0, 1_000_000);
            checkInside(bit, at, at, payloadBits, lengthSaid);
            return new int[] {at, 1};
        }
        YamlValue bits = body.get("bits");
        YamlValue.Range range = bits.range();
        if (range.from() != Math.rint(range.from()) || range.until() != Math.rint(range.until()) || range.from() < 0) {
            throw bits.fault("'" + bits.text() + "' are no bit numbers", "write whole numbers from 0, such as 0..7");
        }
        checkInside(bits, range.from(), range.until(), payloadBits, lengthSaid);
        int width = (int) (range.until() - range.from()) + 1;
        if (width > 64) throw bits.fault("is " + width + " bits wide", "use 64 bits at most");
        return new int[] {(int) range.from(), width};
    }

    private static void checkInside(YamlValue at, double from, double until, int payloadBits, boolean lengthSaid) {
        if (until < payloadBits) return;
        String payload = payloadBits == 0 ? "the message has no payload" : "the payload "
                + (lengthSaid ? "ends" : "can be no longer and ends") + " with bit " + (payloadBits - 1);
        throw at.fault("bit " + YamlValue.shown(until) + " lies outside: " + payload,
                lengthSaid ? "correct the bits or the message's length" : "count bits from 0 in the order sent");
    }

    private static Signal.Page page(YamlMap body, int payloadBits, boolean lengthSaid, int[] field,
                                    Map<String, Signal> signals) {
        YamlMap map = body.get("page").map().allow("bits", "bit", "signal", "is");
        int first;
        int width;
        if (map.has("signal")) {
            YamlValue name = map.get("signal");
            Signal selector = signals.get(name.text());
            if (selector == null || selector.page() != null) {
                throw name.unknown("page signal", signals.values().stream().filter(s -> s.page() == null)
                        .map(Signal::name).toList());
            }
            if (selector.factor() != 1 || selector.offset() != 0 || selector.signed() || selector.lowByteFirst()) {
                throw name.fault("'" + name.text() + "' is scaled, so its value is no page number",
                        "name the page's bits instead, as in page: {bits: 0..7, is: 3}");
            }
            first = selector.firstBit();
            width = selector.width();
        } else {
            int[] selector = field(map, payloadBits, lengthSaid);
            first = selector[0];
            width = selector[1];
        }
        if (width > 32) throw map.fault("a page number of " + width + " bits is too wide", "use 32 bits at most");
        if (first < field[0] + field[1] && field[0] < first + width) {
            throw map.fault("the signal covers its own page number", "correct the bits");
        }
        long value = map.need("is", "is: 3").whole(0, (1L << width) - 1);
        return new Signal.Page(first, width, value);
    }

    private static void checkOverlap(YamlMap map, Signal a, Signal b) {
        boolean apart = a.firstBit() + a.width() <= b.firstBit() || b.firstBit() + b.width() <= a.firstBit();
        if (apart || neverTogether(a.page(), b.page())) return;
        String key = map.get(b.name()).map().has("bit") ? "bit" : "bits";
        throw map.get(b.name()).map().fault(key, "'" + b.name() + "' overlaps '" + a.name() + "' (bits "
                + a.firstBit() + ".." + (a.firstBit() + a.width() - 1) + ")",
                "correct the bits, or give each its page if they take turns");
    }

    private static boolean neverTogether(Signal.Page a, Signal.Page b) {
        return a != null && b != null && a.firstBit() == b.firstBit() && a.width() == b.width()
                && a.value() != b.value();
    }
}
