package buswitness.calibrate;

import buswitness.simulate.Drive;
import buswitness.simulate.Oscillator;
import buswitness.simulate.Power;
import buswitness.simulate.RecorderBehaviour;
import buswitness.simulate.Scenario;
import buswitness.simulate.SoftwareDelay;
import buswitness.simulate.Trigger;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;

/**
 * A bus drawn from a seed: an even seed gives one sender a message with innocent confounders, an odd one puts a second
 * sender on it. The same seed gives the same bus.
 *
 * @param confounders what may look like a second sender
 * @param clashes     messages that two nodes send at the same time; empty where every message has one sender
 * @param style       of the second sender, null where there is none
 */
record RandomBus(Scenario scenario, Set<Confounder> confounders, List<Clash> clashes, String style, String data) {
    private static final double LONGEST_SECONDS = 600;
    private static final double SHORTEST_SECONDS = 5;
    private static final int LONG_TIMES = 6;
    private static final double[] PERIODS = {0.01, 0.02, 0.02, 0.025, 0.03, 0.04, 0.05, 0.05, 0.06, 0.08, 0.1, 0.1, 0.1,
            0.12, 0.15, 0.16, 0.2, 0.2, 0.25, 0.3, 0.32, 0.4, 0.5, 0.5, 0.64, 1, 1, 2};

    /**
     * A message with two senders.
     *
     * @param periodA of the first sender, seconds
     * @param periodB of the second, NaN for events
     */
    record Clash(long key, String nodeA, String nodeB, double periodA, double periodB) {}

    static boolean isClash(long seed) {
        return (seed & 1) != 0;
    }

    /** One bus in eight, of either kind, may run longer than the rest. */
    static boolean isLong(long seed) {
        return (seed & 14) == 10;
    }

    /** @param mostFrames the recording is cut short where it would hold more frames than about this */
    static RandomBus of(long seed, int mostFrames) {
        SplittableRandom dice = new SplittableRandom(seed * 0x9E3779B97F4A7C15L ^ 0x5DEECE66DL);
        double rate = new double[] {50e3, 125e3, 250e3, 500e3}[dice.nextInt(4)];
        BusDraft bus = new BusDraft(seed, dice, rate, 1);
        bus.seconds = bus.logUniform(SHORTEST_SECONDS, LONGEST_SECONDS);
        double load = bus.uniform(0.1, 0.8);
        bus.extended = bus.chance(0.12);
        double framesPerSecond = traffic(bus, load);
        double most = isLong(seed) ? LONG_TIMES * (double) mostFrames : mostFrames;
        bus.seconds = Math.max(SHORTEST_SECONDS, Math.min(bus.seconds, most / framesPerSecond));
        recorder(bus);
        String name = "calibration bus " + seed;
        if (isClash(seed)) {
            SecondSender second = new SecondSender(bus);
            List<Clash> clashes = second.put();
            confound(bus, dice.nextInt(3));
            return new RandomBus(bus.build(name), bus.confounders, clashes, second.style(), second.data());
        }
        confound(bus, 1 + dice.nextInt(6));
        return new RandomBus(bus.build(name), bus.confounders, List.of(), null, null);
    }

    private static void confound(BusDraft bus, int count) {
        Confounder[] all = Confounder.values();
        for (int i = 0; i < count; i++) {
            Confounder confounder = all[bus.dice.nextInt(all.length)];
            if (bus.confounders.contains(confounder)) continue;
            if (bus.victim != null && Innocents.shakesTheWholeBus(confounder)) continue;
            if (Innocents.apply(confounder, bus)) bus.confounders.add(confounder);
        }
    }

    /** Fills the bus with nodes and cyclic messages up to a load. @return frames a second */
    private static double traffic(BusDraft bus, double load) {
        int nodes = 2 + bus.dice.nextInt(7);
        for (int i = 0; i < nodes; i++) bus.nodes.add(node(bus, "unit " + (i + 1)));
        double busy = 0;
        double framesPerSecond = 0;
        for (int i = 0; i < 120 && (busy < load || i < nodes); i++) {
            double period = bus.oneOf(PERIODS);
            // A slow bus cannot carry many fast messages.
            if (110 / bus.bitsPerSecond / period > 0.3 * load) period = Math.max(period, 0.1);
            int length = bus.chance(0.5) ? 8 : bus.dice.nextInt(9);
            MessageDraft message = new MessageDraft(bus.freshIdentifier(), bus.extended, length, period);
            double share = message.bits() / bus.bitsPerSecond / period;
            if (i >= nodes && busy + share > load + 0.05) continue;
            NodeDraft node = bus.nodes.get(i < nodes ? i : bus.dice.nextInt(nodes));
            double phase = bus.chance(0.5) ? Double.NaN : Math.floor(bus.uniform(0, period) / 0.005) * 0.005;
            message.triggers.add(new Trigger.Cyclic(period, phase, 0));
            message.fields.addAll(Payloads.any(bus, length));
            message.filler = bus.chance(0.7) ? 0 : bus.chance(0.5) ? 0xFF : bus.dice.nextInt(256);
            node.messages.add(message);
            busy += share;
            framesPerSecond += 1 / period;
        }
        return framesPerSecond;
    }

    static NodeDraft node(BusDraft bus, String name) {
        Oscillator clock = Oscillator.of(bus.uniform(-100, 100), bus.logUniform(0.3, 7));
        double most = bus.chance(0.15) ? 0 : bus.logUniform(2e-5, 2e-3);
        SoftwareDelay delay = bus.chance(0.6) ? new SoftwareDelay(0, most, 0)
                : new SoftwareDelay(most / 4, 0, most / 4);
        Drive drive = Drive.CLEAN.withAsymmetry(bus.uniform(-60, 60)).withLoopDelay(bus.uniform(80, 250));
        NodeDraft node = new NodeDraft(name, clock, delay, drive);
        node.inOrder = bus.chance(0.3);
        node.busOffReturnSeconds = bus.chance(0.5) ? 0 : bus.logUniform(0.01, 1);
        node.power = Power.ALWAYS;
        return node;
    }

    private static void recorder(BusDraft bus) {
        double bitPicos = 1e12 / bus.bitsPerSecond;
        double tick = bus.logUniform(1e4, Math.min(1e7, bitPicos / 4));
        if (bus.chance(0.6)) tick = tidy(tick);
        bus.recorder = RecorderBehaviour.MICROSECOND.withTick(tick)
                .withOscillator(Oscillator.of(bus.uniform(-50, 50), bus.logUniform(0.1, 3)))
                .withStart(bus.uniform(0, 3)).withIdleLevel(bus.chance(0.85) ? 1 : 0);
    }

    /** The tick of a usual sampling rate at or below. */
    private static double tidy(double tickPicos) {
        double decade = StrictMath.pow(10, Math.floor(StrictMath.log10(tickPicos) + 1e-9));
        double lead = tickPicos / decade;
        return decade * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
    }
}
