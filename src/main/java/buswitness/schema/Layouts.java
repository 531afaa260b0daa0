package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Reads a layout: the bus, its nodes, messages, signals and instruments, as captures/layout-format.md describes it.
 * Everything is checked before anything is used; the first fault is reported with its place.
 */
public final class Layouts {
    private Layouts() {}

    /** @throws InputFault where the file cannot be read or is no layout */
    public static Layout load(Path file) {
        return read(YamlDocument.load(file).root(), file.toString());
    }

    /**
     * @param source what errors call the text, usually a file name
     * @throws InputFault where the text is no layout
     */
    public static Layout parse(String text, String source) {
        return read(YamlDocument.parse(text, source).root(), source);
    }

    /** Reads a layout that stands inside another document. */
    public static Layout read(YamlMap root, String source) {
        DocumentKind.LAYOUT.need(root).allow("bus", "nodes", "messages", "instruments", "protections", "wires", "note");
        Bus bus = root.has("bus") ? Bus.read(root.get("bus").map()) : Bus.OPEN;
        List<String> nodes = nodes(root.get("nodes"));
        List<Fitting.Driving> driving = new ArrayList<>();
        List<Message> messages = messages(root.get("messages"), new MessageReader(nodes, bus.coding, bus.format, driving));
        InstrumentReader reader = new InstrumentReader(messages);
        List<Instrument> instruments = instruments(root.get("instruments"), reader);
        if (messages.isEmpty() && !root.has("wires")) {
            throw root.fault("describes no message", "add 'messages:' as in captures/layout-format.md");
        }
        Fitting fitting = new Fitting(FittingReader.nodes(root.get("nodes")), driving,
                FittingReader.protections(root.get("protections"), nodes, reader),
                FittingReader.wires(root.get("wires")));
        return new Layout(source, bus.name, bus.coding, bus.rate, bus.dataRate, bus.format, nodes, messages, instruments,
                fitting);
    }

    /** What {@code bus:} says. */
    private record Bus(String name, String coding, double rate, double dataRate, BusFormat format) {
        private static final Bus OPEN = new Bus("", null, Double.NaN, Double.NaN, null);

        static Bus read(YamlMap map) {
            map.allow("name", "coding", "rate", "data rate", "format", "note", Known.WORD);
            Known.check(map);
            String name = map.has("name") ? map.get("name").text() : "";
            String coding = map.has("coding") ? map.get("coding").text() : null;
            BusFormat format = null;
            if (map.has("format")) {
                format = BusFormatReader.read(map.get("format").map());
                if (BusFormats.codings().contains(format.name())) {
                    throw map.get("format").map().fault("name", "'" + format.name() + "' is a built-in bus",
                            "give the described one another name");
                }
                if (coding != null && !coding.equals(format.name())) {
                    throw map.fault("coding", "names another bus than 'format', which is '" + format.name() + "'",
                            "leave 'coding' out");
                }
                coding = format.name();
            } else if (coding != null) {
                if (!BusFormats.codings().contains(coding)) throw map.get("coding").unknown("word", BusFormats.codings());
                if (!coding.startsWith("can")) format = BusFormats.builtIn(coding);
            }
            double rate = map.has("rate") ? map.get("rate").quantity(Quantity.BIT_RATE, 1e3, 20e6) : Double.NaN;
            double dataRate = Double.NaN;
            if (map.has("data rate")) {
                if (!"can-fd".equals(coding)) {
                    throw map.fault("data rate", "only CAN FD has a second rate", "add 'coding: can-fd' or leave this out");
                }
                dataRate = map.get("data rate").quantity(Quantity.BIT_RATE, 1e3, 20e6);
            }
            return new Bus(name, coding, rate, dataRate, format);
        }
    }

    private static List<String> nodes(YamlValue nodes) {
        Set<String> names = new LinkedHashSet<>();
        if (nodes == null) return List.of();
        if (nodes.isList()) {
            for (YamlValue node : nodes.list()) {
                if (!names.add(named(node.text(), node.place()))) {
                    throw node.fault("'" + node.text() + "' stands here a second time", "keep one of the two");
                }
            }
        } else {
            YamlMap map = nodes.map();
            for (String name : map.keys()) {
                named(name, map.keyPlace(name));
                Known.check(map.get(name).map().allow(Fitting.NODE_WORDS));
                names.add(name);
            }
        }
        return List.copyOf(names);
    }

    private static List<Message> messages(YamlValue messages, MessageReader reader) {
        List<Message> out = new ArrayList<>();
        if (messages == null) return out;
        YamlMap map = messages.map();
        Map<String, String> taken = new HashMap<>();
        for (String name : map.keys()) {
            named(name, map.keyPlace(name));
            YamlMap body = map.get(name).map();
            Message message = reader.read(name, body);
            String first = taken.putIfAbsent(message.hexDigits() + ":" + message.identifier(), name);
            if (first != null) {
                throw body.fault("id", "message '" + first + "' has this identifier already",
                        "describe one message once; several senders go into 'from: [one, other]'");
            }
            out.add(message);
        }
        for (Message message : out) {
            if (!message.eventFor().isEmpty()) sharers(map.get(message.name()).map().get("event for"), map.keys());
        }
        return out;
    }

    private static void sharers(YamlValue names, Iterable<String> messages) {
        List<String> known = new ArrayList<>();
        messages.forEach(known::add);
        for (YamlValue name : names.oneOrMore()) if (!known.contains(name.text())) throw name.unknown("message", known);
    }

    private static List<Instrument> instruments(YamlValue instruments, InstrumentReader reader) {
        List<Instrument> out = new ArrayList<>();
        if (instruments == null) return out;
        YamlMap map = instruments.map();
        for (String name : map.keys()) out.add(reader.read(named(name, map.keyPlace(name)), map.get(name).map()));
        return out;
    }

    static String named(String name, Place place) {
        if (name.isBlank()) throw new InputFault(place, "has an empty name", "give it a name");
        return name;
    }
}
