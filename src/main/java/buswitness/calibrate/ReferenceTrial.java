package buswitness.calibrate;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.ReferenceFinding;
import buswitness.clashes.Schedule;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameLog;
import buswitness.problem.Progress;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.Oscillator;
import buswitness.simulate.RecorderBehaviour;
import buswitness.simulate.Scenario;
import buswitness.simulate.TruthSink;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.IntPredicate;
import java.util.stream.Collectors;

/** One bus judged with a recording that is said to lack one of its nodes, held against the truth. */
final class ReferenceTrial {
    /**
     * What became of a message with two schedules.
     *
     * @param two      whether two nodes send it
     * @param strength of the evidence from the reference, NaN where it gave none
     * @param direction 1 the schedule said to fall silent is the named node's, -1 it is not, 0 none was said to
     */
    record Message(boolean two, double strength, int direction, boolean accused) {}

    /**
     * @param fits  whether the reference was taken as one of this bus and node
     * @param named 1 the sender that got the name is that node, -1 it is another, 0 nobody got it
     */
    record Result(ReferenceKind kind, boolean fits, int named, List<Message> messages) {}

    private final RandomBus bus;
    private final SplittableRandom dice;
    private final List<String> names;
    private final AnalysisReading reading;
    private final TruthLog truth;
    private final Set<Long> two;

    ReferenceTrial(long seed, int mostFrames) {
        bus = RandomBus.of(seed, mostFrames);
        dice = new SplittableRandom(seed * 31 + 5);
        names = bus.scenario().nodes().stream().map(NodeBehaviour::name).toList();
        two = bus.clashes().stream().map(RandomBus.Clash::key).collect(Collectors.toSet());
        truth = new TruthLog(names, two);
        reading = Trial.read(bus.scenario(), truth);
    }

    /** Null where the bus has too few nodes for this kind, or the node that would be unplugged sends nothing. */
    Result run(ReferenceKind kind, int mostFrames, long anotherSeed) {
        String node = node();
        Scenario other = other(kind, node, mostFrames, anotherSeed);
        if (other == null || other.nodes().size() < 2) return null;
        AnalysisReading reference = Trial.read(other, TruthSink.NONE);
        Findings found = Analysis.judge(reading, List.of(new Analysis.Unplugged(node, reference)), Progress.SILENT);
        ReferenceFinding told = found.clashes().references().get(0);
        int index = names.indexOf(node);
        int named = 0;
        if (told.sender() >= 0) {
            named = mostly(found, i -> found.clashes().senderOf(i) == told.sender(), index) ? 1 : -1;
        }
        List<Message> messages = new ArrayList<>();
        for (MessageFinding m : found.clashes().messages()) {
            boolean pair = m.schedules().stream().filter(s -> s.periodSeconds() > 0).count() >= 2;
            Evidence e = m.evidence().stream().filter(x -> x.kind() == Evidence.Kind.WITHOUT).findFirst().orElse(null);
            if (!pair && e == null) continue;
            messages.add(new Message(two.contains(m.key()), e == null ? Double.NaN : e.strength(),
                    e == null ? 0 : direction(found, m, e, index), m.verdict() == Verdict.TWO_SENDERS));
        }
        return new Result(kind, told.fits(), named, messages);
    }

    /** On a bus with a clash one of its two nodes, else any. */
    private String node() {
        if (!bus.clashes().isEmpty()) {
            RandomBus.Clash clash = bus.clashes().get(0);
            return dice.nextInt(2) == 0 ? clash.nodeA() : clash.nodeB();
        }
        return names.get(dice.nextInt(names.size()));
    }

    private Scenario other(ReferenceKind kind, String node, int mostFrames, long anotherSeed) {
        Scenario same = bus.scenario().withSeed(bus.scenario().seed() + 77);
        return switch (kind) {
            case RIGHT -> same.without(node);
            case WARMER -> warmer(same.without(node));
            case RECORDER -> {
                RecorderBehaviour recorder = same.recorder();
                double other = recorder.tickPicos() * (0.3 + 2 * dice.nextDouble());
                double tick = Math.min(2.5e11 / same.bitsPerSecond(), other);
                yield same.without(node).withRecorder(recorder.withTick(Math.rint(tick))
                        .withOscillator(Oscillator.of(100 * dice.nextDouble() - 50, 1)));
            }
            case TWO_MISSING -> {
                String third = third(node);
                yield third == null ? null : same.without(node).without(third);
            }
            case OTHER_NODE -> {
                String third = third(node);
                yield third == null ? null : same.without(third);
            }
            case NONE_MISSING -> same;
            case OTHER_BUS -> RandomBus.of(anotherSeed, mostFrames).scenario();
        };
    }

    private Scenario warmer(Scenario scenario) {
        double common = 40 * dice.nextDouble() - 20;
        List<NodeBehaviour> nodes = new ArrayList<>();
        for (NodeBehaviour n : scenario.nodes()) {
            Oscillator o = n.oscillator();
            nodes.add(n.withOscillator(new Oscillator(o.ppm() + common + 20 * dice.nextDouble() - 10, o.wanderPpm(),
                    o.driftPpm(), o.driftSeconds())));
        }
        return scenario.withNodes(nodes);
    }

    /** A node that takes no part in a clash. */
    private String third(String node) {
        List<String> others = names.stream().filter(n -> !n.equals(node)
                && bus.clashes().stream().noneMatch(c -> c.nodeA().equals(n) || c.nodeB().equals(n))).toList();
        return others.isEmpty() ? null : others.get(dice.nextInt(others.size()));
    }

    private int direction(Findings found, MessageFinding m, Evidence e, int index) {
        for (Evidence.Figure f : e.figures()) {
            if (!f.name().equals("falls_silent_period_s")) continue;
            for (Schedule s : m.schedules()) {
                if (s.periodSeconds() != f.value()) continue;
                FrameLog log = found.frames();
                IntPredicate chosen = i -> log.key(i) == m.key() && found.senders().trackOf(i) == s.track();
                return mostly(found, chosen, index) ? 1 : -1;
            }
        }
        return 0;
    }

    /** Whether most of the chosen frames are this node's. */
    private boolean mostly(Findings found, IntPredicate chosen, int node) {
        FrameLog log = found.frames();
        long near = Math.round(2 * bus.scenario().recorder().tickPicos() + 1e12 / bus.scenario().bitsPerSecond());
        int all = 0;
        int own = 0;
        for (int i = 0; i < log.size(); i++) {
            if (!log.isWhole(i) || !chosen.test(i)) continue;
            int t = truth.at(log.startPicos(i), near);
            if (t < 0 || truth.node(t) < 0) continue;
            all++;
            if (truth.node(t) == node) own++;
        }
        return own * 2 > all;
    }
}
