package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.predict.Tried.Kind;
import buswitness.predict.Tried.Step;
import buswitness.schema.Fitting;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Protection;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * The usual remedies, drawn up for one bus. Effort and risk are marks from 1 to 5 by common practice of the trade, no
 * source: what has to be opened, built or reprogrammed, and what can go wrong unseen.
 */
final class Candidates {
    /** LIN 2.2A, 2.3.3: 0x3C to 0x3F are diagnosis and reserved. */
    private static final long LAST_LIN_MESSAGE = 0x3B;
    private static final long LARGEST_BASE = 0x7FF;
    private static final long LARGEST_EXTENDED = 0x1FFF_FFFF;

    private final SharedBus bus;
    private final List<Long> clashing;

    private Candidates(SharedBus bus) {
        this.bus = bus;
        clashing = bus.clashing();
    }

    static List<Candidate> of(SharedBus bus) {
        return new Candidates(bus).all();
    }

    private List<Candidate> all() {
        List<Candidate> out = new ArrayList<>();
        Set<String> involved = new LinkedHashSet<>();
        for (long key : clashing) for (Stream s : bus.senders(key)) involved.add(s.node());
        for (String node : involved) out.add(silence(node));
        Candidate mixed = mixed();
        if (mixed != null) out.add(mixed);
        for (String node : involved) out.add(leaveOut(node));
        // Behind a gateway a node would need a master of its own.
        boolean asked = MasterTable.rules(bus);
        for (String node : involved) if (!asked && !hasInstruments(node)) out.add(gateway(node));
        for (String node : involved) out.add(move(node));
        for (Supply s : Supplies.of(bus)) {
            boolean lamp = s.instrument() instanceof Lamp;
            boolean offered = bus.wires().containsKey(s.instrument().name());
            if (lamp && (s.missing() || s.kind() == Supply.Kind.TWO && offered)) out.add(wire(s.instrument()));
            if (lamp && s.missing()) out.addAll(protect(s.instrument()));
        }
        return out;
    }

    private List<Long> keys(String node) {
        return clashing.stream().filter(k -> bus.senders(k).stream().anyMatch(s -> s.node().equals(node))).toList();
    }

    private Candidate silence(String node) {
        Boolean chosen = bus.facts(node).chosen();
        return new Candidate(List.of(new Step(Kind.SILENCE, node, keys(node), List.of(), "", "")),
                Segment.whole(without(Map.of(node, keys(node)))), null, List.of(), chosen == null ? 2 : 1, 1, chosen);
    }

    private SharedBus without(Map<String, List<Long>> silenced) {
        return bus.withStreams(bus.streams().stream()
                .filter(s -> !silenced.getOrDefault(s.node(), List.of()).contains(s.key())).toList());
    }

    /** For each message the sender that serves most instruments is kept; null where that is one node's work alone. */
    private Candidate mixed() {
        Map<String, List<Long>> silenced = new HashMap<>();
        List<String> order = new ArrayList<>();
        for (long key : clashing) {
            String kept = null;
            int most = -1;
            for (Stream s : bus.senders(key)) {
                // Among equals the node that serves most of the dashboard in all.
                int served = 1000 * served(key, s.node()) + servedInAll(s.node());
                if (served > most) {
                    most = served;
                    kept = s.node();
                }
            }
            for (Stream s : bus.senders(key)) {
                if (s.node().equals(kept)) continue;
                if (!silenced.containsKey(s.node())) order.add(s.node());
                silenced.computeIfAbsent(s.node(), n -> new ArrayList<>()).add(key);
            }
        }
        if (order.size() < 2) return null;
        List<Step> steps = new ArrayList<>();
        Boolean possible = true;
        int effort = 0;
        for (String node : order) {
            steps.add(new Step(Kind.SILENCE, node, silenced.get(node), List.of(), "", ""));
            Boolean chosen = bus.facts(node).chosen();
            possible = and(possible, chosen);
            effort += chosen == null ? 2 : 1;
        }
        return new Candidate(steps, Segment.whole(without(silenced)), null, List.of(), Math.min(5, effort), 1,
                possible);
    }

    static Boolean and(Boolean a, Boolean b) {
        if (Boolean.FALSE.equals(a) || Boolean.FALSE.equals(b)) return false;
        return a == null || b == null ? null : true;
    }

    private int served(long key, String node) {
        int served = 0;
        for (Supply s : Supplies.of(bus)) {
            if (Outlooks.keyOf(s.instrument()) == key && s.carriers().contains(node)) served++;
        }
        return served;
    }

    private int servedInAll(String node) {
        return (int) Supplies.of(bus).stream().filter(s -> s.carriers().contains(node)).count();
    }

    private Candidate leaveOut(String node) {
        return new Candidate(List.of(new Step(Kind.LEAVE_OUT, node, keys(node), List.of(), "", "")),
                Segment.whole(bus.without(node)), null, List.of(), 1, 4, null);
    }

    /** The dashboard stays where it is: a node that itself reads what the instruments show is not set apart. */
    private boolean hasInstruments(String node) {
        return bus.instruments().stream().anyMatch(i -> i.message().readBy().contains(node));
    }

    private Candidate gateway(String node) {
        List<Long> held = keys(node);
        SharedBus front = without(Map.of(node, held));
        List<Stream> inside = bus.streams().stream()
                .filter(s -> s.node().equals(node) || !held.contains(s.key())).toList();
        Set<String> others = new LinkedHashSet<>(bus.nodes());
        others.remove(node);
        return new Candidate(List.of(new Step(Kind.GATEWAY, node, held, List.of(), "", "")),
                new Segment(front, Set.of(node)), new Segment(bus.withStreams(inside).withInstruments(List.of()),
                        others), List.of(), 4, 2, null);
    }

    private Candidate move(String node) {
        List<Long> moved = new ArrayList<>();
        List<Stream> before = new ArrayList<>();
        List<Stream> streams = new ArrayList<>();
        Set<Long> taken = new LinkedHashSet<>();
        for (SharedBus.Described d : bus.needs()) taken.add(MessageKey.of(d.message()));
        for (Stream s : bus.streams()) {
            if (!s.node().equals(node) || !clashing.contains(s.key())) {
                streams.add(s);
                continue;
            }
            long free = free(s.key(), taken);
            taken.add(free);
            moved.add(free);
            before.add(s);
            streams.add(s.under(MessageKey.identifier(free)));
        }
        boolean never = Boolean.FALSE.equals(bus.facts(node).chosen());
        return new Candidate(List.of(new Step(Kind.MOVE, node, before.stream().map(Stream::key).toList(), moved, "",
                "")), Segment.whole(bus.withStreams(streams)), null, before, 4, 3, never ? false : null);
    }

    /** The nearest free identifier behind this one, so that its urgency stays nearly the same; else before it. */
    private long free(long key, Set<Long> taken) {
        long identifier = MessageKey.identifier(key);
        long most = MasterTable.rules(bus) ? Math.min(LAST_LIN_MESSAGE, (1L << bus.format().nameBits()) - 1)
                : bus.format() != null ? (1L << bus.format().nameBits()) - 1
                : MessageKey.isExtended(key) ? LARGEST_EXTENDED : LARGEST_BASE;
        for (long step = 1; step <= most; step++) {
            for (long id : new long[] {identifier + step, identifier - step}) {
                long other = MessageKey.of(id, (int) (key >>> 48));
                if (id >= 0 && id <= most && !taken.contains(other)) return other;
            }
        }
        return key;
    }

    private Candidate wire(Instrument lamp) {
        Fitting.Wire wire = bus.wires().get(lamp.name());
        return new Candidate(List.of(new Step(Kind.WIRE, "", List.of(), List.of(), lamp.name(),
                wire == null ? "" : wire.from())), Segment.whole(wired(bus, lamp.name())), null, List.of(), 3, 2,
                wire == null ? null : true);
    }

    static SharedBus wired(SharedBus bus, String lamp) {
        Map<String, Fitting.Wire> wires = new HashMap<>(bus.wires());
        String from = wires.containsKey(lamp) ? wires.get(lamp).from() : "";
        wires.put(lamp, new Fitting.Wire(from, true));
        return bus.withWires(wires);
    }

    /** The functions that could stand in for it; one without a name where the layouts know of none. */
    private List<Candidate> protect(Instrument lamp) {
        List<Candidate> out = new ArrayList<>();
        for (Protection p : bus.protections()) {
            if (p.standsInFor().contains(lamp.name())) out.add(protection(lamp, p.node(), p.name(), true));
        }
        if (out.isEmpty()) out.add(protection(lamp, "", "", null));
        return out;
    }

    private Candidate protection(Instrument lamp, String node, String name, Boolean possible) {
        return new Candidate(List.of(new Step(Kind.PROTECTION, node, List.of(), List.of(), lamp.name(), name)),
                Segment.whole(bus), null, List.of(), 3, 5, possible);
    }
}
