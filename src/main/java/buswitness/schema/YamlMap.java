package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;

/** A map of a {@link YamlDocument}, in the order it is written. Immutable. */
public final class YamlMap {
    private final Place place;
    private final Map<String, YamlValue> values = new LinkedHashMap<>();
    private final Map<String, Place> keyPlaces = new LinkedHashMap<>();

    YamlMap(MappingNode node, String source) {
        place = YamlDocument.place(node.getStartMark(), source);
        for (NodeTuple tuple : node.getValue()) {
            String key = ((ScalarNode) tuple.getKeyNode()).getValue();
            keyPlaces.put(key, YamlDocument.place(tuple.getKeyNode().getStartMark(), source));
            values.put(key, new YamlValue(tuple.getValueNode(), source));
        }
    }

    /** An empty map. */
    YamlMap(Place place) {
        this.place = place;
    }

    public Place place() {
        return place;
    }

    /** Keys in the order written. */
    public Set<String> keys() {
        return Collections.unmodifiableSet(values.keySet());
    }

    public boolean has(String key) {
        return values.containsKey(key);
    }

    /** The value, or null where the key is absent. */
    public YamlValue get(String key) {
        return values.get(key);
    }

    /**
     * @param example such as {@code id: 0x1D0}, for the message
     * @throws InputFault where the key is absent
     */
    public YamlValue need(String key, String example) {
        YamlValue value = values.get(key);
        if (value == null) throw fault("'" + key + "' is missing here", "add it, such as " + example);
        return value;
    }

    /** The place of a key that is there. */
    public Place keyPlace(String key) {
        return keyPlaces.get(key);
    }

    /** @throws InputFault at the first key that is none of these, with the nearest of them */
    public YamlMap allow(String... known) {
        return allow(Arrays.asList(known));
    }

    public YamlMap allow(Collection<String> known) {
        for (String key : values.keySet()) {
            if (!known.contains(key)) throw NearestWord.unknown(keyPlaces.get(key), "word", key, known);
        }
        return this;
    }

    /** A fault at this map's beginning. */
    public InputFault fault(String what, String toDo) {
        return new InputFault(place, what, toDo);
    }

    /** A fault at one of its keys. */
    public InputFault fault(String key, String what, String toDo) {
        return new InputFault(keyPlaces.getOrDefault(key, place), what, toDo);
    }
}
