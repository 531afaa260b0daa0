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
    /** Line codings that a layout may name. */
    private static final List<String> CODINGS = List.of("can");
    private static final int MOST_BYTES = 8;

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
        root.allow("bus", "nodes", "messages", "instruments", "protections", "wires", "note");
        String busName = "";
        String coding = null;
        double rate = Double.NaN;
        if (root.has("bus")) {
            YamlMap bus = root.get("bus").map().allow("name", "coding", "rate", "note", Known.WORD);
            Known.check(bus);
            if (bus.has("name")) busName = bus.get("name").text();
            if (bus.has("coding")) coding = bus.get("coding").oneOf(CODINGS.toArray(String[]::new));
            if (bus.has("rate")) rate = bus.get("rate").quantity(Quantity.BIT_RATE, 1e3, 20e6);
        }
        List<String> nodes = nodes(root.get("nodes"));
        List<Fitting.Driving> driving = new ArrayList<>();
        List<Message> messages = messages(root.get("messages"), new MessageReader(nodes, MOST_BYTES, driving));
        InstrumentReader reader = new InstrumentReader(messages);
        List<Instrument> instruments = instruments(root.get("instruments"), reader);
        if (messages.isEmpty() && !root.has("wires")) {
            throw root.fault("describes no message", "add 'messages:' as in captures/layout-format.md");
        }
        Fitting fitting = new Fitting(FittingReader.nodes(root.get("nodes")), driving,
                FittingReader.protections(root.get("protections"), nodes, reader),
                FittingReader.wires(root.get("wires")));
        return new Layout(source, busName, coding, rate, nodes, messages, instruments, fitting);
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
        return out;
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
