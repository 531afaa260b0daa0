package buswitness.simulate;

import buswitness.schema.Quantity;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.List;

/** Reads how a scenario's recorder samples voltages. */
final class ScopeReader {
    private ScopeReader() {}

    /** @param map the recorder, which has {@code samples} */
    static ScopeBehaviour read(YamlMap map) {
        for (String word : List.of("glitches", "misses", "starts")) {
            if (map.has(word)) throw map.fault(word, "belongs to a recorder of level changes", "leave it out here");
        }
        ScopeBehaviour usual = ScopeBehaviour.of(map.get("samples").quantity(Quantity.FREQUENCY, 1e3, 1e9));
        List<ScopeBehaviour.Dip> dips = new ArrayList<>();
        if (map.has("dips")) {
            for (YamlValue entry : map.get("dips").list()) {
                YamlMap dip = entry.map().allow("at", "for", "by");
                dips.add(new ScopeBehaviour.Dip(dip.need("at", "at: 4 s").quantity(Quantity.TIME, 0, 1e6),
                        dip.need("for", "for: 1 s").quantity(Quantity.TIME, 1e-6, 1e6),
                        dip.need("by", "by: 10 %").quantity(Quantity.SHARE, 0, 1)));
            }
        }
        return new ScopeBehaviour(usual.samplesPerSecond(), volts(map, "recessive", usual.recessiveVolts()),
                map.has("edge") ? map.get("edge").quantity(Quantity.TIME, 0, 1e-3) : usual.edgeSeconds(),
                volts(map, "noise", usual.noiseVolts()),
                map.has("coupling") ? map.get("coupling").quantity(Quantity.FREQUENCY, 1e-3, 1e6) : 0, dips);
    }

    private static double volts(YamlMap map, String word, double otherwise) {
        return map.has(word) ? map.get(word).quantity(Quantity.VOLTAGE, -100, 100) : otherwise;
    }
}
