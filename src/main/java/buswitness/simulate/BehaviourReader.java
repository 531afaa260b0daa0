package buswitness.simulate;

import buswitness.schema.BusFormat;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Quantity;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/** Reads one node's habits. What a scenario leaves out is drawn from its seed and the node's name. */
final class BehaviourReader {
    private static final List<String> WORDS = List.of("clock", "wander", "warming", "delay", "asymmetry", "loop delay",
            "ringing", "level", "level drifts", "load", "order", "acknowledges", "back after bus-off", "plugged", "restarts",
            "boots in", "start-up", "values", "start values", "sends", "silent", "in place of", "note");
    private static final double CLOCK_PPM = 60;
    private static final double WANDER_PPM = 0.5;
    private static final double DELAY_SECONDS = 80e-6;
    private static final double ASYMMETRY_NANOS = 40;
    private static final double LOOP_NANOS = 100;
    private static final double LOOP_MORE_NANOS = 150;
    private static final double LEVEL_SHARE = 0.05;
    private static final double BROWN_OUT_SECONDS = 0.3;
    private final Layout layout;
    private final ValueTable values;
    private final long seed;
    private final BusFormat format;
    private final SendingReader sendings;

    /**
     * @param scheduled a master asks for each message, so that no node sends by itself
     * @param usual     frame that a message goes in where nothing is said of it
     */
    BehaviourReader(Layout layout, ValueTable values, long seed, BusFormat format, boolean scheduled, FrameKind usual) {
        this.format = format;
        this.layout = layout;
        this.values = values;
        this.seed = seed;
        sendings = new SendingReader(layout, format, scheduled, usual);
    }

    NodeBehaviour read(String name, YamlMap map) {
        List<String> words = new ArrayList<>(WORDS);
        words.addAll(BusKindReader.NODE_WORDS);
        map.allow(words);
        SplittableRandom usual = Streams.of(seed, name, "usual");
        double clock = CLOCK_PPM * (2 * usual.nextDouble() - 1);
        double asymmetry = ASYMMETRY_NANOS * (2 * usual.nextDouble() - 1);
        double loop = LOOP_NANOS + LOOP_MORE_NANOS * usual.nextDouble();
        boolean inOrder = map.has("order") && map.get("order").oneOf("by priority", "first in").equals("first in");
        return new NodeBehaviour(name, oscillator(map, clock, WANDER_PPM),
                map.has("delay") ? delay(map.get("delay")) : new SoftwareDelay(0, DELAY_SECONDS, 0),
                drive(map, asymmetry, loop).withLevel(level(map, name)), power(map), sends(name, map), inOrder,
                !map.has("acknowledges") || map.get("acknowledges").flag(), busOffReturn(map),
                BusKindReader.habits(map, layout, format));
    }

    private static double busOffReturn(YamlMap map) {
        if (!map.has("back after bus-off")) return 0;
        YamlValue value = map.get("back after bus-off");
        return value.text().equals("never") ? Double.POSITIVE_INFINITY : value.quantity(Quantity.TIME, 0, 1e5);
    }

    static Oscillator oscillator(YamlMap map, double usualPpm, double usualWander) {
        double ppm = map.has("clock") ? map.get("clock").quantity(Quantity.DEVIATION, -150_000, 150_000) : usualPpm;
        double wander = map.has("wander") ? map.get("wander").quantity(Quantity.DEVIATION, 0, 10_000) : usualWander;
        if (!map.has("warming")) return Oscillator.of(ppm, wander);
        YamlMap warming = map.get("warming").map().allow("by", "over");
        return new Oscillator(ppm, wander,
                warming.need("by", "by: 4 ppm").quantity(Quantity.DEVIATION, -10_000, 10_000),
                warming.need("over", "over: 60 s").quantity(Quantity.TIME, 1e-3, 1e6));
    }

    static SoftwareDelay delay(YamlValue value) {
        if (!value.isMap()) return new SoftwareDelay(value.quantity(Quantity.TIME, 0, 10), 0, 0);
        YamlMap map = value.map().allow("fixed", "up to", "tail");
        return new SoftwareDelay(time(map, "fixed"), time(map, "up to"), time(map, "tail"));
    }

    private static double time(YamlMap map, String key) {
        return map.has(key) ? map.get(key).quantity(Quantity.TIME, 0, 10) : 0;
    }

    private static double nanos(YamlMap map, String key, double least, double most, double otherwise) {
        return map.has(key) ? map.get(key).quantity(Quantity.TIME, least * 1e-9, most * 1e-9) * 1e9 : otherwise;
    }

    private Drive drive(YamlMap map, double asymmetry, double loop) {
        Drive drive = Drive.CLEAN.withAsymmetry(nanos(map, "asymmetry", -20_000, 20_000, asymmetry))
                .withLoopDelay(nanos(map, "loop delay", 0, format == null ? 5_000 : 1e6, loop));
        if (!map.has("ringing")) return drive;
        YamlMap ringing = map.get("ringing").map().allow("pulses", "length", "share");
        return drive.withRinging(ringing.has("pulses") ? (int) ringing.get("pulses").whole(1, 20) : 2,
                nanos(ringing, "length", 1, 10_000, 60),
                ringing.has("share") ? ringing.get("share").quantity(Quantity.SHARE, 0, 1) : 1);
    }

    /** Drawn on its own, so that files from before voltages were simulated give the same recordings. */
    private NodeLevel level(YamlMap map, String name) {
        double usual = NodeLevel.USUAL.volts()
                * (1 + LEVEL_SHARE * (2 * Streams.of(seed, name, "level").nextDouble() - 1));
        NodeLevel level = NodeLevel.of(map.has("level") ? map.get("level").quantity(Quantity.VOLTAGE, -100, 100) : usual);
        if (map.has("level drifts")) {
            YamlMap drifts = map.get("level drifts").map().allow("by", "over");
            level = new NodeLevel(level.volts(), drifts.need("by", "by: 100 mV").quantity(Quantity.VOLTAGE, -100, 100),
                    drifts.need("over", "over: 60 s").quantity(Quantity.TIME, 1e-3, 1e6), 0, 0, 0.5);
        }
        if (!map.has("load")) return level;
        YamlMap load = map.get("load").map().allow("by", "every", "on");
        return new NodeLevel(level.volts(), level.driftVolts(), level.driftSeconds(),
                load.need("by", "by: 80 mV").quantity(Quantity.VOLTAGE, -100, 100),
                load.need("every", "every: 1.3 s").quantity(Quantity.TIME, 1e-3, 1e6),
                load.has("on") ? load.get("on").quantity(Quantity.SHARE, 0, 1) : 0.5);
    }

    private static Power power(YamlMap map) {
        double from = 0;
        double until = Double.POSITIVE_INFINITY;
        if (map.has("plugged")) {
            YamlMap plugged = map.get("plugged").map().allow("from", "until");
            if (plugged.has("from")) from = plugged.get("from").quantity(Quantity.TIME, 0, 1e6);
            if (plugged.has("until")) until = plugged.get("until").quantity(Quantity.TIME, from, 1e6);
        }
        List<Power.Restart> restarts = new ArrayList<>();
        if (map.has("restarts")) {
            for (YamlValue entry : map.get("restarts").list()) restarts.add(restart(entry));
        }
        return new Power(from, until, restarts,
                map.has("boots in") ? map.get("boots in").quantity(Quantity.TIME, 0, 60) : Power.ALWAYS.bootSeconds(),
                map.has("start-up") ? map.get("start-up").quantity(Quantity.TIME, 0, 600)
                        : Power.ALWAYS.startUpSeconds());
    }

    private static Power.Restart restart(YamlValue entry) {
        if (!entry.isMap()) return new Power.Restart(entry.quantity(Quantity.TIME, 0, 1e6), BROWN_OUT_SECONDS);
        YamlMap map = entry.map().allow("at", "off for");
        return new Power.Restart(map.need("at", "at: 12 s").quantity(Quantity.TIME, 0, 1e6),
                map.has("off for") ? map.get("off for").quantity(Quantity.TIME, 1e-6, 1e6) : BROWN_OUT_SECONDS);
    }

    private List<Sending> sends(String name, YamlMap map) {
        String papers = name;
        if (map.has("in place of")) {
            if (!layout.nodes().contains(map.get("in place of").text())) {
                throw map.get("in place of").unknown("node", layout.nodes());
            }
            papers = map.get("in place of").text();
        }
        Map<String, Message> messages = new LinkedHashMap<>();
        for (Message message : layout.messages()) {
            if (message.from().contains(papers)) messages.put(message.name(), message);
        }
        YamlMap own = map.has("sends") ? map.get("sends").map() : null;
        if (own != null) {
            for (String key : own.keys()) messages.putIfAbsent(key, find(key, own));
        }
        if (map.has("silent")) {
            for (YamlValue silent : map.get("silent").oneOrMore()) {
                if (!messages.containsKey(silent.text())) throw silent.unknown("message", messages.keySet());
                messages.remove(silent.text());
            }
        }
        ValueTable inner = values.with(map.get("values"), layout, null);
        ValueTable start = ValueTable.empty().with(map.get("start values"), layout, null);
        List<Sending> out = new ArrayList<>();
        for (Map.Entry<String, Message> entry : messages.entrySet()) {
            YamlMap words = own != null && own.has(entry.getKey()) ? own.get(entry.getKey()).map() : null;
            try {
                out.add(sendings.read(words, map, entry.getValue(), inner, start));
            } catch (IllegalArgumentException e) {
                throw SendingReader.refused(words == null ? map : words, e);
            }
        }
        return out;
    }

    /** A message of the layout, or null where the scenario describes its own by an identifier. */
    private Message find(String key, YamlMap own) {
        for (Message message : layout.messages()) if (message.name().equals(key)) return message;
        if (own.get(key).isMap() && own.get(key).map().has("id")) return null;
        throw own.fault(key, "the layout describes no message '" + key + "'",
                "name one of it, or describe it here with 'id' and 'length'");
    }
}
