package buswitness.predict;

import buswitness.frames.FdFrameBits;
import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.Course;
import buswitness.schema.Signal;
import buswitness.simulate.BusKind;
import buswitness.simulate.FrameKind;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.OnFormat;
import buswitness.simulate.Oscillator;
import buswitness.simulate.Scenario;
import buswitness.simulate.Sending;
import buswitness.simulate.Simulations;
import buswitness.simulate.SoftwareDelay;
import buswitness.simulate.Trigger;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/** One simulated drive: clocks and start phases drawn from a seed, everything else as the layouts say. */
final class DriveSetup {
    /** Error of a clock after a minute, random walk; common practice for crystals, no source. */
    private static final double WANDER_PPM = 0.3;
    /** A value that moves between two ends does so at half its fastest rate at most, or in this time. */
    private static final double SLOW_SECONDS = 24;
    /** How often a node looks whether a value has changed; common practice, no source. */
    private static final double LOOK_SECONDS = 0.01;

    /**
     * Whether start phases are such that the two schedules of one message meet halfway.
     *
     * @param key   the message; unknown for any phases
     * @param exact the nodes let go of it without any delay, so that both begin in the same bit
     */
    record Meet(long key, boolean exact) {
        static final Meet BY_CHANCE = new Meet(MessageKey.UNKNOWN, false);
    }

    private final Segment segment;
    private final long seed;
    private final double seconds;
    private final Meet meet;

    private DriveSetup(Segment segment, long seed, double seconds, Meet meet) {
        this.segment = segment;
        this.seed = seed;
        this.seconds = seconds;
        this.meet = meet;
    }

    static Scenario scenario(Segment segment, long seed, double seconds, Meet meet) {
        return new DriveSetup(segment, seed, seconds, meet).all();
    }

    /** How much longer a node's second is in a drive, parts per million. */
    static double clockPpm(SharedBus bus, String node, long seed) {
        double within = Nodes.clockWithinPpm(bus, node);
        return within * (2 * random(seed, "clock", node).nextDouble() - 1);
    }

    private static SplittableRandom random(long seed, String what, String name) {
        return new SplittableRandom(seed * 0x9E37_79B9_7F4A_7C15L ^ (long) what.hashCode() << 32 ^ name.hashCode());
    }

    private Scenario all() {
        SharedBus bus = segment.bus();
        Map<Stream, Double> phases = phases(bus);
        List<NodeBehaviour> nodes = new ArrayList<>();
        for (String node : segment.nodes()) {
            List<Sending> sends = new ArrayList<>();
            for (Stream s : bus.streams()) {
                if (segment.senderOf(s).equals(node)) sends.add(sending(s, phases.get(s)));
            }
            double wander = meet.exact() ? 0 : WANDER_PPM;
            double delay = meet.exact() ? 0 : Nodes.delaySeconds(bus, node);
            nodes.add(NodeBehaviour.named(node).withOscillator(Oscillator.of(clockPpm(bus, node, seed), wander))
                    .withDelay(new SoftwareDelay(0, delay, 0)).withSends(sends));
        }
        Scenario scenario = Scenario.of(bus.bitsPerSecond(), seconds, seed, nodes);
        if (bus.isFlexible()) return scenario.onBus(BusKind.canFd(bus.dataBitsPerSecond()));
        if (bus.format() == null) return scenario;
        return scenario.onBus(new BusKind(bus.format(), MasterTable.rules(bus) ? MasterTable.of(bus).slots() : null));
    }

    private Map<Stream, Double> phases(SharedBus bus) {
        Map<Stream, Double> phases = new HashMap<>();
        for (Stream s : bus.streams()) {
            double every = s.message().everySeconds();
            phases.put(s, every * random(seed, "phase " + s.node(), s.message().name()).nextDouble());
        }
        if (meet.key() != MessageKey.UNKNOWN) meet(bus.senders(meet.key()), phases);
        return phases;
    }

    /**
     * All let go of it at one true time near the middle, when the first of them is due. A clock's second lasts
     * 1 + ppm 1e-6 true seconds ({@link Oscillator}); a timer fires at phase + k period.
     */
    private void meet(List<Stream> senders, Map<Stream, Double> phases) {
        Stream first = senders.get(0);
        double period = first.message().everySeconds();
        if (Double.isNaN(period)) return;
        double local = phases.get(first) + Math.rint(seconds / 2 / period) * period;
        double at = local * (1 + clockPpm(segment.bus(), first.node(), seed) * 1e-6);
        for (Stream s : senders) {
            double every = s.message().everySeconds();
            if (Double.isNaN(every)) continue;
            double shown = at / (1 + clockPpm(segment.bus(), s.node(), seed) * 1e-6);
            phases.put(s, shown - Math.floor(shown / every) * every);
        }
    }

    private Sending sending(Stream stream, double phase) {
        List<Trigger> triggers = new ArrayList<>();
        double every = stream.message().everySeconds();
        boolean asked = MasterTable.rules(segment.bus());
        if (!Double.isNaN(every) && !asked) {
            triggers.add(segment.passedOn().contains(stream.node())
                    ? new Trigger.Forwarded(every, phase, Oscillator.of(clockPpm(segment.bus(), stream.node(), seed),
                            WANDER_PPM), 0) : new Trigger.Cyclic(every, phase, 0));
        }
        if (stream.message().onEvent() && !asked) triggers.add(new Trigger.OnChange(LOOK_SECONDS, true, 0));
        return Simulations.sending(stream.message(), bytes(stream), triggers, onFormat(stream), kind(), signal -> {
            Course course = stream.courses().get(signal.name());
            return course == null ? null : source(course, signal);
        });
    }

    private FrameKind kind() {
        SharedBus bus = segment.bus();
        if (!bus.isFlexible()) return FrameKind.CLASSICAL;
        return bus.dataBitsPerSecond() > bus.bitsPerSecond() ? FrameKind.FD_SWITCHED : FrameKind.FD;
    }

    private int bytes(Stream stream) {
        if (segment.bus().isFlexible()) return FdFrameBits.roomFor(Math.min(64, stream.bytes()));
        int most = segment.bus().format() == null ? stream.bytes() : segment.bus().format().mostDataBytes();
        return Math.min(stream.bytes(), most);
    }

    /** Where frames carry a sender's number, each node has its own; null on CAN. */
    private OnFormat onFormat(Stream stream) {
        BusFormat format = segment.bus().format();
        if (format == null) return null;
        String sender = format.naming().sender();
        if (sender == null || format.naming().message().contains(sender)) {
            return new OnFormat(stream.message().hexDigits(), Map.of(), false);
        }
        long numbers = 1L << Math.min(62, format.field(sender).bits());
        long own = (1 + segment.bus().nodes().indexOf(stream.node())) % numbers;
        return new OnFormat(stream.message().hexDigits(), Map.of(sender, own), false);
    }

    static ValueSource source(Course course, Signal signal) {
        if (course instanceof Course.Constant c) return new ValueSource.Constant(c.value());
        if (course instanceof Course.Blinking b) {
            return new ValueSource.Toggle(0, 1, b.periodSeconds(), b.share(), 0);
        }
        if (course instanceof Course.Counting c) return new ValueSource.Counter(c.modulo(), 1);
        if (course instanceof Course.Points p) return new ValueSource.Points(p.atSeconds(), p.values(), p.steps());
        Course.Between between = (Course.Between) course;
        double swing = (between.high() - between.low()) / 2;
        double rate = signal.changesAtMostPerSecond();
        // A sine of this swing is steepest at swing * 2 pi / period.
        double period = Double.isNaN(rate) ? SLOW_SECONDS : Math.max(SLOW_SECONDS, 4 * Math.PI * swing / rate);
        return new ValueSource.Sine(between.low() + swing, swing, period, 0);
    }
}
