package buswitness.simulate;

import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Quantity;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;

/** Reads what a scenario says that only buses other than classical CAN know. */
final class BusKindReader {
    static final List<String> NODE_WORDS = List.of("number", "answers after", "between bytes", "rests", "reads back",
            "tries", "replies", "wakes", "wrong checks");
    private static final double LONGEST_PAUSE = 10;
    private static final String CAN_FD = "can-fd";

    private BusKindReader() {}

    /** Null for CAN and CAN FD. */
    static BusFormat format(YamlMap root, Layout layout) {
        if (!root.has("bus")) return layout.format();
        YamlMap map = root.get("bus").map().allow("coding", "data rate", "sample point", "note");
        YamlValue coding = map.need("coding", "coding: lin");
        boolean flexible = coding.text().equals(CAN_FD);
        for (String word : List.of("data rate", "sample point")) {
            if (map.has(word) && !flexible) throw map.fault(word, "belongs to CAN FD", "leave it out");
        }
        if (flexible || coding.text().equals("can")) return null;
        if (!BusFormats.names().contains(coding.text())) throw coding.unknown("word", BusFormats.names());
        return BusFormats.builtIn(coding.text());
    }

    /** Whether the bus is CAN FD: the scenario says so, or leaves it to its layout. */
    static boolean isFlexible(YamlMap root, Layout layout) {
        return CAN_FD.equals(root.has("bus") ? root.get("bus").map().get("coding").text() : layout.coding());
    }

    /** The frame that a message goes in where nothing is said of it. */
    static FrameKind usualFrame(YamlMap root, Layout layout, double rate) {
        if (!isFlexible(root, layout)) return FrameKind.CLASSICAL;
        return dataRate(root, layout, rate) > rate ? FrameKind.FD_SWITCHED : FrameKind.FD;
    }

    private static double dataRate(YamlMap root, Layout layout, double rate) {
        YamlMap map = root.has("bus") ? root.get("bus").map() : null;
        if (map != null && map.has("data rate")) return map.get("data rate").quantity(Quantity.BIT_RATE, rate, 20e6);
        return Double.isNaN(layout.dataBitsPerSecond()) ? rate : layout.dataBitsPerSecond();
    }

    private static BusKind canFd(YamlMap root, Layout layout, double rate) {
        double fast = dataRate(root, layout, rate);
        if (fast < rate) throw root.fault("the data rate lies below the bit rate", "give a rate or data rate that fits");
        BusKind kind = BusKind.canFd(fast);
        boolean said = root.has("bus") && root.get("bus").map().has("sample point");
        return said ? kind.sampledAt(root.get("bus").map().get("sample point").quantity(Quantity.SHARE, 0.5, 0.88)) : kind;
    }

    /**
     * @param rate  nominal, bit/s
     * @param nodes of the scenario, one of which is the master of a schedule
     */
    static BusKind read(YamlMap root, Layout layout, BusFormat format, double rate, YamlMap nodes) {
        if (format == null) {
            if (root.has("schedule")) {
                throw root.fault("schedule", "belongs to a bus with a master", "add 'coding: lin'");
            }
            return isFlexible(root, layout) ? canFd(root, layout, rate) : null;
        }
        boolean asks = format.naming().answer() != null;
        if (!asks && root.has("schedule")) {
            throw root.fault("schedule", "belongs to a bus whose master asks for each message",
                    "leave it out: on this bus nodes send by themselves");
        }
        if (!asks) return new BusKind(format, null);
        YamlMap map = root.need("schedule",
                "schedule: {master: dashboard, slots: [{message: engine state, takes: 10 ms}]}").map()
                .allow("master", "slots", "sleeps", "note");
        YamlValue master = map.need("master", "master: dashboard");
        if (!nodes.has(master.text())) throw master.unknown("node", nodes.keys());
        List<SlotTable.Slot> slots = new ArrayList<>();
        for (YamlValue entry : map.need("slots", "slots: [{message: engine state, takes: 10 ms}]").list()) {
            slots.add(slot(entry.map(), layout, format));
        }
        if (slots.isEmpty()) throw map.get("slots").fault("has no slots", "add one for each message");
        return new BusKind(format, new SlotTable(master.text(), slots, naps(map, format)));
    }

    private static SlotTable.Slot slot(YamlMap slot, Layout layout, BusFormat format) {
        slot.allow("message", "event", "sporadic", "of", "takes", "note");
        double takes = slot.need("takes", "takes: 10 ms").quantity(Quantity.TIME, 1e-3, 60);
        List<Long> of = new ArrayList<>();
        if (slot.has("event")) {
            for (YamlValue one : slot.need("of", "of: [left door, right door]").oneOrMore()) {
                of.add(key(one, layout, format));
            }
            return new SlotTable.Slot(key(slot.get("event"), layout, format), takes, SlotTable.Kind.EVENT_TRIGGERED, of);
        }
        if (slot.has("sporadic")) {
            for (YamlValue one : slot.get("sporadic").oneOrMore()) of.add(key(one, layout, format));
            return new SlotTable.Slot(of.get(0), takes, SlotTable.Kind.SPORADIC, of);
        }
        return new SlotTable.Slot(key(slot.need("message", "message: engine state"), layout, format), takes);
    }

    private static List<SlotTable.Nap> naps(YamlMap schedule, BusFormat format) {
        List<SlotTable.Nap> out = new ArrayList<>();
        if (!schedule.has("sleeps")) return out;
        if (format.sleep() == null) throw schedule.fault("sleeps", "this bus never sleeps", "leave it out");
        for (YamlValue entry : schedule.get("sleeps").list()) {
            YamlMap map = entry.map().allow("at", "until", "command", "starts after", "note");
            double at = map.need("at", "at: 5 s").quantity(Quantity.TIME, 0, 1e6);
            double until = map.has("until") ? map.get("until").quantity(Quantity.TIME, 0, 1e6)
                    : Double.POSITIVE_INFINITY;
            if (!(until > at) || !out.isEmpty() && at < out.get(out.size() - 1).atSeconds()) {
                throw map.fault("at", "ends before it begins, or comes before the one above it", "put the times in order");
            }
            out.add(new SlotTable.Nap(at, until, !map.has("command") || map.get("command").flag(),
                    map.has("starts after") ? map.get("starts after").quantity(Quantity.TIME, 0, 60) : 0.05));
        }
        return out;
    }

    static long key(YamlValue value, Layout layout, BusFormat format) {
        String text = value.text();
        for (Message message : layout.messages()) if (message.name().equals(text)) return MessageKey.of(message);
        if (!text.startsWith("0x")) {
            throw value.unknown("message", layout.messages().stream().map(Message::name).toList());
        }
        return MessageKey.of(value.whole(0, (1L << format.nameBits()) - 1), format.nameDigits());
    }

    /** Null where the node keeps to the usual habits. */
    static Habits habits(YamlMap node, Layout layout, BusFormat format) {
        for (String word : NODE_WORDS) {
            if (format == null && node.has(word)) {
                throw node.fault(word, "'" + word + "' belongs to another bus than CAN", "leave it out");
            }
        }
        Habits habits = Habits.USUAL;
        if (format == null) return habits;
        habits = habits.withPauses(pause(node, "answers after"), pause(node, "between bytes"), pause(node, "rests"));
        if (node.has("reads back")) habits = habits.withReadBack(node.get("reads back").flag());
        if (node.has("tries")) habits = habits.withTries((int) node.get("tries").whole(1, 1000));
        if (node.has("replies")) habits = habits.withAnswers(replies(node, layout, format));
        if (node.has("wrong checks")) {
            habits = habits.withWrongChecks(node.get("wrong checks").quantity(Quantity.SHARE, 0, 1));
        }
        if (node.has("wakes")) habits = habits.withWakes(wakes(node.get("wakes")));
        return habits;
    }

    private static double pause(YamlMap node, String word) {
        return node.has(word) ? node.get(word).quantity(Quantity.TIME, 0, LONGEST_PAUSE) : 0;
    }

    private static List<Habits.Answer> replies(YamlMap node, Layout layout, BusFormat format) {
        if (format.response() == null) {
            throw node.fault("replies", "this bus has no replies within a frame", "leave it out");
        }
        List<Habits.Answer> out = new ArrayList<>();
        for (YamlValue entry : node.get("replies").list()) {
            YamlMap map = entry.map().allow("to", "bytes", "checked", "note");
            YamlValue bytes = map.need("bytes", "bytes: 0x12");
            out.add(new Habits.Answer(key(map.need("to", "to: engine state"), layout, format), hex(bytes),
                    !map.has("checked") || map.get("checked").flag()));
        }
        return out;
    }

    private static byte[] hex(YamlValue value) {
        String text = value.text();
        if (!text.matches("0x([0-9A-Fa-f]{2})+")) {
            throw value.fault("'" + text + "' are no bytes", "write two digits each, such as 0x12FF");
        }
        return HexFormat.of().parseHex(text.substring(2));
    }

    private static List<Habits.Wake> wakes(YamlValue value) {
        List<Habits.Wake> out = new ArrayList<>();
        for (YamlValue entry : value.list()) {
            YamlMap map = entry.map().allow("at", "address", "answered by", "lasts", "note");
            out.add(new Habits.Wake(map.need("at", "at: 1 s").quantity(Quantity.TIME, 0, 1e6),
                    map.has("address") ? (int) map.get("address").whole(0, 255) : -1,
                    map.has("answered by") ? map.get("answered by").text() : null,
                    map.has("lasts") ? map.get("lasts").quantity(Quantity.TIME, 1e-5, 1) : 0));
        }
        return out;
    }

    /** What a message of a node carries beside its name and data. Null on CAN. */
    static OnFormat message(YamlMap own, YamlMap node, Message message, BusFormat format) {
        if (format == null) return null;
        java.util.Map<String, Long> fields = new java.util.HashMap<>();
        String sender = format.naming().sender();
        if (sender != null && node.has("number")) number(fields, sender, node.get("number"), format);
        boolean second = false;
        if (own != null) {
            if (own.has("to") && format.naming().receiver() != null) {
                number(fields, format.naming().receiver(), own.get("to"), format);
            }
            if (own.has("fields")) {
                YamlMap map = own.get("fields").map();
                List<String> known = format.fields().stream().map(buswitness.schema.FieldFormat::name).toList();
                map.allow(known);
                for (String name : map.keys()) number(fields, name, map.get(name), format);
            }
            second = own.has("second check") && own.get("second check").flag();
        }
        // Diagnostic frames always have the classic check sum (LIN 2.2A, 2.3.1.5).
        if (format.name().equals("lin") && message.identifier() >= 60) second = true;
        return new OnFormat(message.hexDigits(), fields, second);
    }

    private static void number(java.util.Map<String, Long> fields, String name, YamlValue value, BusFormat format) {
        if (format.naming().message().contains(name)) return;
        int bits = Math.min(62, format.field(name).bits());
        fields.put(name, value.whole(0, (1L << bits) - 1));
    }
}
