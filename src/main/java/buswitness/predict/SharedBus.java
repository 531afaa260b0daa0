package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.Fitting;
import buswitness.schema.Instrument;
import buswitness.schema.Message;
import buswitness.schema.Protection;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/**
 * Several layouts put on one bus.
 *
 * @param name          of the bus, may be empty
 * @param coding        such as {@code can}
 * @param format        how a bus other than CAN speaks, else null
 * @param dataBitsPerSecond CAN FD: the rate of payloads, the nominal one where no layout says another; NaN elsewhere
 * @param nodes         all of them, in the layouts' order
 * @param facts         habits by node; absent where nothing is said
 * @param streams       who sends what
 * @param needs         every description of a message, whoever wrote it, with its source; senders' and readers' alike
 * @param wires         of instruments, by name
 */
public record SharedBus(String name, String coding, BusFormat format, double bitsPerSecond, double dataBitsPerSecond,
                        List<String> nodes,
                        Map<String, Fitting.NodeFacts> facts, List<Stream> streams, List<Described> needs,
                        List<Instrument> instruments, List<Protection> protections,
                        Map<String, Fitting.Wire> wires) {
    /** A message as one layout describes it. */
    public record Described(String source, Message message) {}

    public SharedBus {
        nodes = List.copyOf(nodes);
        facts = Map.copyOf(facts);
        streams = List.copyOf(streams);
        needs = List.copyOf(needs);
        instruments = List.copyOf(instruments);
        protections = List.copyOf(protections);
        wires = Map.copyOf(wires);
    }

    /** CAN FD, on which every message is taken to go in a CAN FD frame: layouts do not say which are classical. */
    public boolean isFlexible() {
        return !Double.isNaN(dataBitsPerSecond);
    }

    public Fitting.NodeFacts facts(String node) {
        return facts.getOrDefault(node, Fitting.NodeFacts.UNKNOWN);
    }

    /** Streams of one message. */
    public List<Stream> senders(long key) {
        return streams.stream().filter(s -> s.key() == key).toList();
    }

    /** Messages with two senders or more, in the layouts' order. */
    public List<Long> clashing() {
        return streams.stream().map(Stream::key).distinct().filter(k -> senders(k).size() > 1).toList();
    }

    /** The message's name: as the instruments call it, else a reader that does not send it, else a sender. */
    public String nameOf(long key) {
        for (Instrument i : instruments) if (MessageKey.of(i.message()) == key) return i.message().name();
        for (Described d : needs) {
            if (d.message().from().isEmpty() && MessageKey.of(d.message()) == key) return d.message().name();
        }
        for (Stream s : streams) if (s.key() == key) return s.message().name();
        return needs.stream().filter(d -> MessageKey.of(d.message()) == key).map(d -> d.message().name()).findFirst()
                .orElse("");
    }

    /** The message's name as one node calls it that sends it. */
    public String nameOf(long key, String node) {
        for (Stream s : streams) if (s.key() == key && s.node().equals(node)) return s.message().name();
        return nameOf(key);
    }

    SharedBus withStreams(List<Stream> other) {
        return new SharedBus(name, coding, format, bitsPerSecond, dataBitsPerSecond, nodes, facts, other, needs, instruments,
                protections, wires);
    }

    SharedBus withNodes(List<String> other) {
        return new SharedBus(name, coding, format, bitsPerSecond, dataBitsPerSecond, other, facts, streams, needs, instruments,
                protections, wires);
    }

    SharedBus withInstruments(List<Instrument> other) {
        return new SharedBus(name, coding, format, bitsPerSecond, dataBitsPerSecond, nodes, facts, streams, needs, other,
                protections, wires);
    }

    SharedBus withWires(Map<String, Fitting.Wire> other) {
        return new SharedBus(name, coding, format, bitsPerSecond, dataBitsPerSecond, nodes, facts, streams, needs, instruments,
                protections, other);
    }

    /** Without a node and all it sends. */
    SharedBus without(String node) {
        List<Stream> left = new ArrayList<>(streams);
        left.removeIf(s -> s.node().equals(node));
        return withStreams(left).withNodes(nodes.stream().filter(n -> !n.equals(node)).toList());
    }
}
