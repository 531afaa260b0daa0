package buswitness.simulate;

import buswitness.frames.MessageKey;
import buswitness.problem.InputFault;
import buswitness.schema.BusFormat;
import buswitness.schema.DocumentKind;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.schema.Message;
import buswitness.schema.Quantity;
import buswitness.schema.YamlDocument;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Reads a scenario file, as captures/scenario-format.md describes it. */
final class ScenarioReader {
    private static final double LONGEST_SECONDS = 86_400;
    private static final String SUFFIX = ".scenario.yaml";
    private final YamlMap root;
    private Layout layout;

    private ScenarioReader(YamlMap root) {
        this.root = root;
    }

    /** @throws InputFault where the file or its layout cannot be read or says something wrong */
    static Scenario load(Path file) {
        String name = String.valueOf(file.getFileName());
        if (name.endsWith(SUFFIX)) name = name.substring(0, name.length() - SUFFIX.length());
        return new ScenarioReader(YamlDocument.load(file).root()).read(name, file.toAbsolutePath().getParent());
    }

    /**
     * @param beside folder in which a layout is looked for
     * @throws InputFault as {@link #load} does
     */
    static Scenario parse(String text, String source, Path beside) {
        return new ScenarioReader(YamlDocument.parse(text, source).root()).read(source, beside);
    }

    private Scenario read(String name, Path beside) {
        DocumentKind.SCENARIO.need(root).allow("layout", "rate", "duration", "seed", "values", "nodes", "interference",
                "misreads", "recorder",
                "lines", "bus", "schedule", "note");
        layout = layout(beside);
        long seed = root.has("seed") ? root.get("seed").whole(Long.MIN_VALUE + 1, Long.MAX_VALUE) : 1;
        BusFormat format = BusKindReader.format(root, layout);
        double rate = rate(format);
        if (Double.isNaN(rate)) throw root.fault("nothing says the bit rate", "add 'rate: 125 kbit/s'");
        double duration = root.need("duration", "duration: 40 s").quantity(Quantity.TIME, 1e-3, LONGEST_SECONDS);
        ValueTable values = ValueTable.empty().with(root.get("values"), layout, null);
        YamlMap nodes = root.need("nodes", "nodes: {engine unit: {}}").map();
        List<NodeBehaviour> behaviours = new ArrayList<>();
        BehaviourReader reader = new BehaviourReader(layout, values, seed, format, root.has("schedule"),
                BusKindReader.usualFrame(root, layout, rate));
        for (String node : nodes.keys()) {
            try {
                behaviours.add(reader.read(node, nodes.get(node).map()));
            } catch (IllegalArgumentException e) {
                throw SendingReader.refused(nodes.get(node).map(), e);
            }
        }
        if (behaviours.isEmpty()) throw root.fault("nodes", "no node is on the bus", "add one");
        try {
            return new Scenario(name, rate, behaviours, interference(), misreads(nodes), recorder(), lines(), duration,
                    seed, root.has("layout") ? root.get("layout").text() : "",
                    BusKindReader.read(root, layout, format, rate, nodes));
        } catch (IllegalArgumentException e) {
            throw SendingReader.refused(root, e);
        }
    }

    private double rate(BusFormat format) {
        if (root.has("rate")) return root.get("rate").quantity(Quantity.BIT_RATE, 1e3, 1e6);
        boolean usual = Double.isNaN(layout.bitsPerSecond()) && format != null;
        return usual ? format.bitsPerSecond() : layout.bitsPerSecond();
    }

    private Layout layout(Path beside) {
        YamlValue where = root.get("layout");
        if (where == null) return new Layout("", "", null, Double.NaN, List.of(), List.of(), List.of());
        try {
            return Layouts.load(beside == null ? Path.of(where.text()) : beside.resolve(where.text()));
        } catch (InvalidPathException e) {
            throw where.fault("'" + where.text() + "' is no file name", "name the layout that lies beside this file");
        }
    }

    private List<Interference> interference() {
        List<Interference> out = new ArrayList<>();
        if (!root.has("interference")) return out;
        for (YamlValue entry : root.get("interference").list()) {
            YamlMap map = entry.map().allow("rate", "at", "length", "varies", "level", "from", "until", "note");
            double length = map.need("length", "length: 30 us").quantity(Quantity.TIME, 1e-9, 10);
            boolean dominant = !map.has("level") || map.get("level").oneOf("dominant", "recessive").equals("dominant");
            if (map.has("rate") == map.has("at")) {
                throw entry.fault("needs either 'rate' or 'at'", "write 'rate: 3 per s' or 'at: [2 s]'");
            }
            if (map.has("at")) {
                double[] at = map.get("at").oneOrMore().stream().mapToDouble(v -> v.quantity(Quantity.TIME, 0, 1e7))
                        .toArray();
                out.add(Interference.at(length, dominant, at));
                continue;
            }
            out.add(new Interference(new double[0], map.get("rate").quantity(Quantity.PER_TIME, 1e-4, 1e5),
                    map.has("from") ? map.get("from").quantity(Quantity.TIME, 0, 1e6) : 0,
                    map.has("until") ? map.get("until").quantity(Quantity.TIME, 0, 1e6) : Double.POSITIVE_INFINITY,
                    length, !map.has("varies") || map.get("varies").flag(), dominant));
        }
        return out;
    }

    private List<Misreading> misreads(YamlMap nodes) {
        List<Misreading> out = new ArrayList<>();
        if (!root.has("misreads")) return out;
        if (BusKindReader.format(root, layout) != null) {
            throw root.fault("misreads", "belongs to CAN", "leave it out on this bus");
        }
        for (YamlValue entry : root.get("misreads").list()) {
            YamlMap map = entry.map().allow("node", "message", "bit", "share", "as", "note");
            YamlValue node = map.need("node", "node: dashboard");
            if (!nodes.has(node.text())) throw node.unknown("node", nodes.keys());
            Misreading.Kind kind = switch (map.need("as", "as: receiver").oneOf("receiver", "sender", "slow edge")) {
                case "receiver" -> Misreading.Kind.RECEIVER;
                case "sender" -> Misreading.Kind.SENDER;
                default -> Misreading.Kind.SLOW_EDGE;
            };
            boolean any = !map.has("bit") || map.get("bit").text().equals("any");
            out.add(new Misreading(node.text(),
                    map.has("message") ? key(map.get("message")) : Misreading.ANY_MESSAGE,
                    any ? Misreading.ANY_BIT : (int) map.get("bit").whole(0, 600),
                    map.has("share") ? map.get("share").quantity(Quantity.SHARE, 0, 1) : 1, kind));
        }
        return out;
    }

    private long key(YamlValue value) {
        String text = value.text();
        for (Message message : layout.messages()) if (message.name().equals(text)) return MessageKey.of(message);
        if (!text.startsWith("0x")) {
            throw value.unknown("message", layout.messages().stream().map(Message::name).toList());
        }
        long identifier = value.whole(0, 0x1FFF_FFFF);
        return MessageKey.can((int) identifier, identifier > 0x7FF || text.length() == 10);
    }

    private RecorderBehaviour recorder() {
        RecorderBehaviour usual = RecorderBehaviour.MICROSECOND;
        if (!root.has("recorder")) return usual;
        YamlMap map = root.get("recorder").map().allow("line", "tick", "clock", "wander", "warming", "starts",
                "idle level", "glitches", "misses", "samples", "recessive", "edge", "noise", "coupling", "dips",
                "marks", "names the layout", "note");
        RecorderBehaviour out = usual.withOscillator(BehaviourReader.oscillator(map, 0, 0));
        if (map.has("line")) {
            out = new RecorderBehaviour(map.get("line").text(), out.tickPicos(), out.oscillator(), 0, 1, 0, 100,
                    List.of());
        }
        if (map.has("tick")) out = out.withTick(tick(map.get("tick")));
        if (map.has("starts")) out = out.withStart(map.get("starts").quantity(Quantity.TIME, 0, 1e6));
        if (map.has("idle level")) out = out.withIdleLevel((int) map.get("idle level").whole(0, 1));
        if (map.has("glitches")) {
            YamlMap glitches = map.get("glitches").map().allow("rate", "length");
            out = out.withGlitches(glitches.need("rate", "rate: 5 per s").quantity(Quantity.PER_TIME, 0, 1e6),
                    glitches.has("length") ? glitches.get("length").quantity(Quantity.TIME, 1e-9, 1e-3) * 1e9 : 100);
        }
        if (map.has("misses")) {
            List<RecorderBehaviour.Missed> gaps = new ArrayList<>();
            for (YamlValue pair : map.get("misses").list()) {
                List<YamlValue> ends = pair.list();
                if (ends.size() != 2) throw pair.fault("is no pair", "write from and until, such as [3 s, 3.5 s]");
                gaps.add(new RecorderBehaviour.Missed(ends.get(0).quantity(Quantity.TIME, 0, 1e6),
                        ends.get(1).quantity(Quantity.TIME, 0, 1e6)));
            }
            out = out.withGaps(gaps);
        }
        if (map.has("marks")) out = out.withMarks(marks(map.get("marks")));
        if (map.has("names the layout")) out = out.withLayoutNamed(map.get("names the layout").flag());
        return map.has("samples") ? out.withScope(ScopeReader.read(map)) : out;
    }

    private static List<RecorderBehaviour.Mark> marks(YamlValue said) {
        List<RecorderBehaviour.Mark> marks = new ArrayList<>();
        for (YamlValue pair : said.list()) {
            List<YamlValue> both = pair.list();
            if (both.size() != 2) throw pair.fault("is no pair", "write instant and label, such as [3 s, ignition on]");
            double at = both.get(0).quantity(Quantity.TIME, 0, 1e6);
            if (!marks.isEmpty() && at < marks.get(marks.size() - 1).atSeconds()) {
                throw both.get(0).fault("lies before the mark above it", "write marks in order of time");
            }
            if (both.get(1).text().isBlank()) throw both.get(1).fault("is no label", "write one such as ignition on");
            marks.add(new RecorderBehaviour.Mark(at, both.get(1).text().strip()));
        }
        return marks;
    }

    /** {@code 1 us}, or the recorder's rate, {@code 72 MHz}. */
    private static double tick(YamlValue value) {
        if (value.text().endsWith("Hz")) return 1e12 / value.quantity(Quantity.FREQUENCY, 1e3, 1e12);
        return value.quantity(Quantity.TIME, 1e-12, 1e-3) * 1e12;
    }

    private List<ExtraLine> lines() {
        List<ExtraLine> out = new ArrayList<>();
        if (!root.has("lines")) return out;
        YamlMap lines = root.get("lines").map();
        for (String name : lines.keys()) {
            YamlMap map = lines.get(name).map().allow("pulses", "on", "switch", "bounces", "bounce", "note");
            if (map.has("pulses") == map.has("switch")) {
                throw map.fault("needs either 'pulses' or 'switch'", "write 'pulses: 40' or 'switch: [2 s, 5 s]'");
            }
            if (map.has("pulses")) {
                out.add(new ExtraLine.PulseTrain(name, ValueReader.read(map.get("pulses")),
                        map.has("on") ? map.get("on").quantity(Quantity.SHARE, 0.001, 0.999) : 0.5));
                continue;
            }
            double[] at = map.get("switch").oneOrMore().stream().mapToDouble(v -> v.quantity(Quantity.TIME, 0, 1e7))
                    .toArray();
            out.add(new ExtraLine.Switch(name, at, map.has("bounces") ? (int) map.get("bounces").whole(0, 100) : 0,
                    map.has("bounce") ? map.get("bounce").quantity(Quantity.TIME, 1e-6, 0.1) : 1e-3));
        }
        return out;
    }
}
