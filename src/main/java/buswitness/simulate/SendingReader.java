package buswitness.simulate;

import buswitness.frames.FdFrameBits;
import buswitness.problem.InputFault;
import buswitness.schema.BusFormat;
import buswitness.schema.Layout;
import buswitness.schema.LineFormat;
import buswitness.schema.Message;
import buswitness.schema.Quantity;
import buswitness.schema.Signal;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import java.util.function.ToDoubleFunction;

/** Reads how one node sends one message. */
final class SendingReader {
    private static final double LONGEST = 86_400;
    private static final double USUAL_LOOK_SECONDS = 0.01;
    private final Layout layout;
    private final BusFormat format;
    private final boolean scheduled;
    private final FrameKind usual;

    /**
     * @param format null on CAN
     * @param usual  frame that a message goes in where nothing is said of it; classical on a classical bus
     */
    SendingReader(Layout layout, BusFormat format, boolean scheduled, FrameKind usual) {
        this.usual = usual;
        this.layout = layout;
        this.format = format;
        this.scheduled = scheduled;
    }

    /**
     * @param own     the words of the scenario for it, or null
     * @param node    those for its node
     * @param message as the layout has it, or null where it is the scenario's own
     */
    Sending read(YamlMap own, YamlMap node, Message message, ValueTable values, ValueTable startValues) {
        if (own != null) {
            own.allow("every", "phase", "jitter", "loop", "at", "at random", "on change", "forwarded", "answers", "values",
                    "start values", "id", "extended", "request", "length", "filler", "to", "fields", "second check",
                    "frame", "note");
        }
        Message described = message != null ? message : format == null ? described(own) : onFormat(own);
        boolean request = own != null && own.has("request") && own.get("request").flag();
        FrameKind kind = frame(own, request);
        int length = length(own, described, kind);
        ValueTable inner = values.with(own == null ? null : own.get("values"), layout, message);
        ValueTable start = startValues.with(own == null ? null : own.get("start values"), layout, message);
        int filler = own != null && own.has("filler") ? (int) own.get("filler").whole(0, 255) : 0;
        List<Field> fields = request ? List.of() : fields(described, inner, start);
        return new Sending((int) described.identifier(), format == null && described.hexDigits() == 8, request, length,
                scheduled ? List.of() : triggers(own, described), fields, filler,
                BusKindReader.message(own, node, described, format), kind);
    }

    private FrameKind frame(YamlMap own, boolean request) {
        if (own == null || !own.has("frame")) return request ? FrameKind.CLASSICAL : usual;
        YamlValue said = own.get("frame");
        if (usual == FrameKind.CLASSICAL) throw own.fault("frame",
                "'frame' belongs to CAN FD", "leave it out, or add 'bus: {coding: can-fd}'");
        return switch (said.oneOf("classical", "fd", "fd at one rate")) {
            case "classical" -> FrameKind.CLASSICAL;
            case "fd" -> usual;
            default -> FrameKind.FD;
        };
    }

    private Message onFormat(YamlMap own) {
        long name = own.need("id", "id: 0x12").whole(0, (1L << format.nameBits()) - 1);
        return new Message("", name, format.nameDigits(), List.of(), List.of(), Double.NaN, false, -1, List.of());
    }

    private static Message described(YamlMap own) {
        YamlValue id = own.need("id", "id: 0x1D0");
        long identifier = id.whole(0, 0x1FFF_FFFF);
        boolean extended = own.has("extended") ? own.get("extended").flag()
                : identifier > 0x7FF || id.text().length() == 10;
        if (!extended && identifier > 0x7FF) throw id.fault("is no base identifier", "use 0x000 to 0x7FF");
        return new Message("", identifier, extended ? 8 : 3, List.of(), List.of(), Double.NaN, false, -1, List.of());
    }

    private int length(YamlMap own, Message message, FrameKind kind) {
        int most = kind.isFlexible() ? 64 : format == null ? 8 : Math.min(64, format.mostDataBytes());
        if (own != null && own.has("length")) return (int) own.get("length").whole(0, most);
        int needed = message.length() >= 0 ? message.length() : needed(message);
        return kind.isFlexible() ? FdFrameBits.roomFor(Math.min(needed, most)) : needed;
    }

    private static int needed(Message message) {
        int bits = 0;
        for (Signal signal : message.carries()) {
            bits = Math.max(bits, signal.firstBit() + signal.width());
            if (signal.page() != null) bits = Math.max(bits, signal.page().firstBit() + signal.page().width());
        }
        return (bits + 7) / 8;
    }

    private static List<Field> fields(Message message, ValueTable values, ValueTable startValues) {
        return fields(message, signal -> values.find(message, signal), signal -> {
            ValueSource start = startValues.find(message, signal);
            return start instanceof ValueSource.Constant constant ? constant.value() : Double.NaN;
        });
    }

    /**
     * Fields of a documented message; page numbers that nobody sets take their turns.
     *
     * @param values null for a signal of which nothing is said: it stays at 0 on the wire
     */
    static List<Field> fields(Message message, Function<Signal, ValueSource> values,
                              ToDoubleFunction<Signal> startValues) {
        List<Field> fields = new ArrayList<>();
        for (Signal selector : implicitSelectors(message)) {
            fields.add(Field.of(selector, new ValueSource.Pages(pagesOf(message, selector))));
        }
        for (Signal signal : message.carries()) {
            ValueSource source = values.apply(signal);
            if (source == null) {
                long[] pages = pagesOf(message, signal);
                source = pages.length > 0 ? new ValueSource.Pages(pages) : new ValueSource.Constant(signal.offset());
            }
            fields.add(new Field(signal, source, startValues.applyAsDouble(signal)));
        }
        return fields;
    }

    /** Page numbers that other signals of the message ask of this field. */
    private static long[] pagesOf(Message message, Signal selector) {
        return message.carries().stream().map(Signal::page).filter(page -> page != null
                && page.firstBit() == selector.firstBit() && page.width() == selector.width())
                .mapToLong(Signal.Page::value).distinct().sorted().toArray();
    }

    /** Page fields that no signal names. */
    private static List<Signal> implicitSelectors(Message message) {
        List<Signal> selectors = new ArrayList<>();
        for (Signal signal : message.carries()) {
            Signal.Page page = signal.page();
            if (page == null) continue;
            boolean named = message.carries().stream()
                    .anyMatch(s -> s.page() == null && s.firstBit() == page.firstBit() && s.width() == page.width());
            boolean known = selectors.stream()
                    .anyMatch(s -> s.firstBit() == page.firstBit() && s.width() == page.width());
            if (!named && !known) {
                selectors.add(new Signal("", page.firstBit(), page.width(), false, false, 1, 0, "", Double.NaN, null));
            }
        }
        return selectors;
    }

    private List<Trigger> triggers(YamlMap own, Message message) {
        List<Trigger> out = new ArrayList<>();
        boolean other = false;
        if (own != null) {
            if (own.has("loop")) out.add(loop(own));
            if (own.has("answers")) out.add(answers(own.get("answers")));
            if (own.has("forwarded")) out.add(forwarded(own.get("forwarded"), own, message));
            if (own.has("at")) out.add(at(own.get("at")));
            if (own.has("at random")) out.add(random(own.get("at random")));
            other = !out.isEmpty();
        }
        double period = own != null && own.has("every") ? time(own.get("every"))
                : other ? Double.NaN : message.everySeconds();
        if (!Double.isNaN(period)) {
            double jitter = own != null && own.has("jitter") ? own.get("jitter").quantity(Quantity.TIME, 0, period / 2)
                    : 0;
            out.add(new Trigger.Cyclic(period, phase(own), jitter));
        } else if (own != null && own.has("jitter")) {
            throw own.fault("jitter", "'jitter' belongs to a timer", "give 'every', or leave it out");
        }
        boolean change = own != null && own.has("on change") ? !isNo(own.get("on change")) : message.onEvent()
                && !other;
        if (change) out.add(change(own == null ? null : own.get("on change")));
        if (out.isEmpty()) {
            if (own != null) throw own.fault("nothing says when it is sent", "add 'every: 100 ms'");
        }
        return out;
    }

    private static boolean isNo(YamlValue value) {
        return !value.isMap() && !value.isEmpty() && !value.flag();
    }

    private static double time(YamlValue value) {
        return value.quantity(Quantity.TIME, 1e-5, LONGEST);
    }

    private static double phase(YamlMap own) {
        return own != null && own.has("phase") ? own.get("phase").quantity(Quantity.TIME, 0, LONGEST) : Double.NaN;
    }

    private Trigger answers(YamlValue value) {
        if (!(format != null && !(format.line() instanceof LineFormat.Stuffed) && format.naming().answer() == null)) {
            throw value.fault("nobody answers messages so on this bus", "give 'every', or leave it out");
        }
        YamlMap map = value.map().allow("message", "after");
        return new Trigger.After(BusKindReader.key(map.need("message", "message: engine state"), layout, format),
                map.need("after", "after: 30 ms").quantity(Quantity.TIME, 0, LONGEST));
    }

    private static Trigger loop(YamlMap own) {
        YamlMap map = own.get("loop").map().allow("waits", "works");
        return new Trigger.DelayLoop(time(map.need("waits", "waits: 100 ms")), phase(own),
                map.has("works") ? BehaviourReader.delay(map.get("works")) : SoftwareDelay.NONE);
    }

    private static Trigger at(YamlValue value) {
        List<YamlValue> list = value.oneOrMore();
        double[] at = list.stream().mapToDouble(v -> v.quantity(Quantity.TIME, 0, 1e7)).toArray();
        for (int i = 1; i < at.length; i++) {
            if (at[i] <= at[i - 1]) throw list.get(i).fault("comes before the one above it", "put the times in order");
        }
        return new Trigger.AtTimes(at);
    }

    private static Trigger random(YamlValue value) {
        YamlMap map = value.map().allow("rate", "task");
        return new Trigger.AtRandom(map.need("rate", "rate: 2 per s").quantity(Quantity.PER_TIME, 1e-4, 1e5),
                map.has("task") ? time(map.get("task")) : 0);
    }

    private static Trigger change(YamlValue value) {
        if (value == null || !value.isMap()) return new Trigger.OnChange(USUAL_LOOK_SECONDS, true, 0);
        YamlMap map = value.map().allow("looks every", "on the task", "at least apart");
        return new Trigger.OnChange(map.has("looks every") ? time(map.get("looks every")) : USUAL_LOOK_SECONDS,
                !map.has("on the task") || map.get("on the task").flag(),
                map.has("at least apart") ? map.get("at least apart").quantity(Quantity.TIME, 0, LONGEST) : 0);
    }

    private static Trigger forwarded(YamlValue value, YamlMap own, Message message) {
        YamlMap map = value.map().allow("every", "clock", "wander", "warming", "looks every");
        double period = map.has("every") ? time(map.get("every")) : message.everySeconds();
        if (Double.isNaN(period)) throw value.fault("has no period", "add 'every: 100 ms'");
        return new Trigger.Forwarded(period, phase(own), BehaviourReader.oscillator(map, 0, 0),
                map.has("looks every") ? time(map.get("looks every")) : 0);
    }

    /** Turns what a record refuses into a fault with a place. */
    static InputFault refused(YamlMap at, IllegalArgumentException why) {
        return at.fault(why.getMessage(), "see captures/scenario-format.md");
    }
}
