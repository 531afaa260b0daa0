package buswitness.predict;

import java.util.List;
import java.util.Set;

/**
 * One pair of wires with the nodes on it.
 *
 * @param bus       its nodes and streams; of those passed on, too
 * @param passedOn  nodes that sit on the other side: a gateway sends their messages here in their rhythm
 */
record Segment(SharedBus bus, Set<String> passedOn) {
    /** What the box between two segments is called. */
    static final String GATEWAY = "filtering gateway";

    Segment {
        passedOn = Set.copyOf(passedOn);
    }

    static Segment whole(SharedBus bus) {
        return new Segment(bus, Set.of());
    }

    /** Who puts this stream on these wires. */
    String senderOf(Stream stream) {
        return passedOn.contains(stream.node()) ? GATEWAY : stream.node();
    }

    /** Nodes on these wires, in order; a listener is added where one would be alone and nobody would acknowledge. */
    List<String> nodes() {
        List<String> nodes = new java.util.ArrayList<>(bus.nodes().stream().filter(n -> !passedOn.contains(n)).toList());
        if (!passedOn.isEmpty()) nodes.add(GATEWAY);
        if (MasterTable.rules(bus)) nodes.add(MasterTable.MASTER);
        if (nodes.size() < 2) nodes.add("listener");
        return nodes;
    }
}
