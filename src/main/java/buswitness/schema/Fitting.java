package buswitness.schema;

import java.util.List;
import java.util.Map;

/**
 * What a builder says of a bus before it exists: habits of its nodes, what they send while driving, functions that
 * protect, and instruments with a wire of their own. Not used for reading recordings.
 *
 * @param nodes       facts by node name; a node without any is absent
 * @param driving     in the layout's order
 * @param protections in the layout's order
 * @param wires       by the name of the instrument, which may stand in another layout
 */
public record Fitting(Map<String, NodeFacts> nodes, List<Driving> driving, List<Protection> protections,
                      Map<String, Wire> wires) {
    public static final Fitting NONE = new Fitting(Map.of(), List.of(), List.of(), Map.of());

    /** Words allowed behind a node's name. */
    static final List<String> NODE_WORDS = List.of("note", "clock within", "delay", "messages can be chosen",
            Known.WORD);

    public Fitting {
        nodes = Map.copyOf(nodes);
        driving = List.copyOf(driving);
        protections = List.copyOf(protections);
        wires = Map.copyOf(wires);
    }

    /**
     * Habits of a node.
     *
     * @param clockWithinPpm its clock is this true; NaN where not said
     * @param delaySeconds   a message leaves up to so long after its timer; NaN where not said
     * @param chosen         whether one can choose what it sends; null where not said
     */
    public record NodeFacts(double clockWithinPpm, double delaySeconds, Boolean chosen) {
        public static final NodeFacts UNKNOWN = new NodeFacts(Double.NaN, Double.NaN, null);
    }

    /**
     * What one value does while driving.
     *
     * @param node who sends it so; empty for whoever sends the message
     */
    public record Driving(String message, String signal, String node, Course course) {}

    /**
     * A wire that feeds an instrument instead of the bus.
     *
     * @param from   what it comes from
     * @param fitted it is there; else it could be
     */
    public record Wire(String from, boolean fitted) {}

    /** Facts of a node, {@link NodeFacts#UNKNOWN} where there are none. */
    public NodeFacts node(String name) {
        return nodes.getOrDefault(name, NodeFacts.UNKNOWN);
    }

    /** The course of a value as one node sends it, or null where the layout does not say. */
    public Course course(String message, String signal, String node) {
        Course any = null;
        for (Driving d : driving) {
            if (!d.message().equals(message) || !d.signal().equals(signal)) continue;
            if (d.node().equals(node)) return d.course();
            if (d.node().isEmpty()) any = d.course();
        }
        return any;
    }

}
