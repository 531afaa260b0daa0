package buswitness.schema;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Reads what a builder says of nodes, {@code protections:} and {@code wires:}. */
final class FittingReader {
    private FittingReader() {}

    static Map<String, Fitting.NodeFacts> nodes(YamlValue nodes) {
        Map<String, Fitting.NodeFacts> facts = new LinkedHashMap<>();
        if (nodes == null || nodes.isList()) return facts;
        YamlMap map = nodes.map();
        for (String name : map.keys()) {
            YamlMap body = map.get(name).map();
            boolean says = body.has("clock within") || body.has("delay") || body.has("messages can be chosen");
            if (!says) continue;
            facts.put(name, new Fitting.NodeFacts(
                    body.has("clock within") ? body.get("clock within").quantity(Quantity.DEVIATION, 0, 50_000)
                            : Double.NaN,
                    body.has("delay") ? body.get("delay").quantity(Quantity.TIME, 0, 1) : Double.NaN,
                    body.has("messages can be chosen") ? body.get("messages can be chosen").flag() : null));
        }
        return facts;
    }

    static List<Protection> protections(YamlValue value, List<String> nodes, InstrumentReader instruments) {
        List<Protection> out = new ArrayList<>();
        if (value == null) return out;
        YamlMap map = value.map();
        for (String name : map.keys()) {
            Layouts.named(name, map.keyPlace(name));
            out.add(protection(name, map.get(name).map(), nodes, instruments));
        }
        return out;
    }

    private static Protection protection(String name, YamlMap body, List<String> nodes, InstrumentReader instruments) {
        body.allow("in", "watches", "acts when", "wired to", "does", "after", "stands in for", "note");
        YamlValue node = body.need("in", "in: engine unit");
        if (!nodes.contains(node.text())) throw node.unknown("node", nodes);
        if (body.has("watches") == body.has("wired to")) {
            throw body.fault(body.has("watches") ? "has both 'watches' and 'wired to'" : "watches nothing",
                    "write 'watches: oil pressure low' for a value on the bus, or 'wired to: oil pressure switch'");
        }
        Lamp watch = null;
        if (body.has("watches")) {
            watch = instruments.condition(name, body.get("watches"), body.need("acts when", "acts when: 1"));
        } else if (body.has("acts when")) {
            throw body.fault("acts when", "'acts when' belongs to a value on the bus", "leave it out beside 'wired to'");
        }
        List<String> standsInFor = new ArrayList<>();
        if (body.has("stands in for")) {
            for (YamlValue lamp : body.get("stands in for").oneOrMore()) standsInFor.add(lamp.text());
        }
        return new Protection(name, node.text(), watch, watch == null ? body.get("wired to").text() : "",
                body.need("does", "does: stops the engine").text(),
                body.has("after") ? body.get("after").quantity(Quantity.TIME, 0, 3600) : 0, standsInFor);
    }

    static Map<String, Fitting.Wire> wires(YamlValue value) {
        Map<String, Fitting.Wire> out = new LinkedHashMap<>();
        if (value == null) return out;
        YamlMap map = value.map();
        for (String name : map.keys()) {
            Layouts.named(name, map.keyPlace(name));
            YamlMap body = map.get(name).map().allow("from", "fitted", "note");
            out.put(name, new Fitting.Wire(body.need("from", "from: oil pressure switch").text(),
                    body.need("fitted", "fitted: true").flag()));
        }
        return out;
    }
}
