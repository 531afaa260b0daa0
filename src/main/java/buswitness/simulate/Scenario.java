package buswitness.simulate;

import buswitness.capture.RecordingInfo;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Everything a simulation needs. Immutable; the {@code with} methods give changed copies.
 *
 * @param name            for notes and messages
 * @param bitsPerSecond   of the bus, greater than 0
 * @param nodes           all that may be on it, unique names
 * @param recorder        at the tap
 * @param extraLines      further lines it records
 * @param durationSeconds of the recording, greater than 0
 * @param seed            same scenario and same seed, same recording
 * @param layout          file name of the layout it was made from, as the scenario names it; empty for none
 * @param bus             null for classical CAN
 */
public record Scenario(String name, double bitsPerSecond, List<NodeBehaviour> nodes, List<Interference> interference,
                       List<Misreading> misreadings, RecorderBehaviour recorder, List<ExtraLine> extraLines,
                       double durationSeconds, long seed, String layout, BusKind bus) {
    public Scenario {
        nodes = List.copyOf(nodes);
        interference = List.copyOf(interference);
        misreadings = List.copyOf(misreadings);
        extraLines = List.copyOf(extraLines);
        if (!(bitsPerSecond > 0)) throw new IllegalArgumentException("a rate is above 0: " + bitsPerSecond);
        if (!(durationSeconds > 0)) throw new IllegalArgumentException("a duration is above 0: " + durationSeconds);
        Set<String> names = new HashSet<>();
        for (NodeBehaviour node : nodes) {
            if (!names.add(node.name())) throw new IllegalArgumentException("two nodes named " + node.name());
        }
        for (Misreading misreading : misreadings) {
            if (!names.contains(misreading.node())) {
                throw new IllegalArgumentException("no node named " + misreading.node());
            }
        }
    }

    /** CAN, classical or FD. */
    boolean isCan() {
        return bus == null || bus.format() == null;
    }

    /** A bus of classical CAN. */
    public Scenario(String name, double bitsPerSecond, List<NodeBehaviour> nodes, List<Interference> interference,
                    List<Misreading> misreadings, RecorderBehaviour recorder, List<ExtraLine> extraLines,
                    double durationSeconds, long seed, String layout) {
        this(name, bitsPerSecond, nodes, interference, misreadings, recorder, extraLines, durationSeconds, seed, layout,
                null);
    }

    /** A bus at a rate with a microsecond recorder. */
    public static Scenario of(double bitsPerSecond, double durationSeconds, long seed, List<NodeBehaviour> nodes) {
        return new Scenario("", bitsPerSecond, nodes, List.of(), List.of(), RecorderBehaviour.MICROSECOND, List.of(),
                durationSeconds, seed, "");
    }

    public Scenario withName(String other) {
        return new Scenario(other, bitsPerSecond, nodes, interference, misreadings, recorder, extraLines,
                durationSeconds, seed, layout, bus);
    }

    public Scenario withNodes(List<NodeBehaviour> other) {
        return new Scenario(name, bitsPerSecond, other, interference, misreadings, recorder, extraLines,
                durationSeconds, seed, layout, bus);
    }

    /** Without the named node: the same bus with it unplugged. Its misreadings go with it. */
    public Scenario without(String node) {
        List<NodeBehaviour> left = nodes.stream().filter(n -> !n.name().equals(node)).toList();
        List<Misreading> still = misreadings.stream().filter(m -> !m.node().equals(node)).toList();
        return new Scenario(name, bitsPerSecond, left, interference, still, recorder, extraLines, durationSeconds,
                seed, layout, bus);
    }

    public Scenario withInterference(List<Interference> other) {
        return new Scenario(name, bitsPerSecond, nodes, other, misreadings, recorder, extraLines, durationSeconds,
                seed, layout, bus);
    }

    public Scenario withMisreadings(List<Misreading> other) {
        return new Scenario(name, bitsPerSecond, nodes, interference, other, recorder, extraLines, durationSeconds,
                seed, layout, bus);
    }

    public Scenario withRecorder(RecorderBehaviour other) {
        return new Scenario(name, bitsPerSecond, nodes, interference, misreadings, other, extraLines, durationSeconds,
                seed, layout, bus);
    }

    public Scenario withExtraLines(List<ExtraLine> other) {
        return new Scenario(name, bitsPerSecond, nodes, interference, misreadings, recorder, other, durationSeconds,
                seed, layout, bus);
    }

    public Scenario withDuration(double seconds) {
        return new Scenario(name, bitsPerSecond, nodes, interference, misreadings, recorder, extraLines, seconds,
                seed, layout, bus);
    }

    public Scenario withSeed(long other) {
        return new Scenario(name, bitsPerSecond, nodes, interference, misreadings, recorder, extraLines,
                durationSeconds, other, layout, bus);
    }

    /** The same nodes on another kind of bus. */
    public Scenario onBus(BusKind other) {
        return new Scenario(name, bitsPerSecond, nodes, interference, misreadings, recorder, extraLines,
                durationSeconds, seed, layout, other);
    }

    /** What a recording of this scenario says of itself; the bus is line 0, the extra lines follow. */
    public RecordingInfo info() {
        List<String> lines = new ArrayList<>();
        lines.add(recorder.line());
        for (ExtraLine extra : extraLines) lines.add(extra.name());
        List<String> notes = new ArrayList<>();
        notes.add("simulated" + (name.isEmpty() ? "" : ": " + name) + ", seed " + seed);
        if (!layout.isEmpty() && recorder.namesLayout()) notes.add("layout: " + layout);
        return new RecordingInfo(name, "simulation", "", recorder.tickPicos(), lines, notes);
    }
}
