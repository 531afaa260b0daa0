package buswitness.calibrate;

import buswitness.frames.MessageKey;
import buswitness.simulate.Interference;
import buswitness.simulate.Misreading;
import buswitness.simulate.Oscillator;
import buswitness.simulate.Power;
import buswitness.simulate.RecorderBehaviour;
import java.util.ArrayList;
import java.util.List;

/** Puts confounders on a bus: here those of nodes, wire and recorder; {@link InnocentMessages} does those of messages. */
final class Innocents {
    private Innocents() {}

    static boolean shakesTheWholeBus(Confounder confounder) {
        return switch (confounder) {
            case SLEEPING, NO_ACKNOWLEDGE, RESONATORS, WARMING -> true;
            default -> false;
        };
    }

    /** @return false where the bus has no room for it */
    static boolean apply(Confounder confounder, BusDraft bus) {
        return switch (confounder) {
            case RESTARTS -> restarts(bus);
            case REPLACED -> replaced(bus);
            case SLEEPING -> sleeping(bus);
            case NO_ACKNOWLEDGE -> noAcknowledge(bus);
            case WARMING -> warming(bus);
            case RESONATORS -> resonators(bus);
            case LONE_SENDER_BIT -> misreading(bus, Misreading.Kind.SENDER);
            case SLOW_EDGE -> misreading(bus, Misreading.Kind.SLOW_EDGE);
            case RECEIVER_BIT -> misreading(bus, Misreading.Kind.RECEIVER);
            case INTERFERENCE -> interference(bus);
            case RECORDING_GAPS -> gaps(bus);
            case RECORDER_GLITCHES -> glitches(bus);
            case RINGING -> ringing(bus);
            default -> InnocentMessages.apply(confounder, bus);
        };
    }

    private static boolean restarts(BusDraft bus) {
        NodeDraft node = bus.pickNode();
        if (node == null || node.power != Power.ALWAYS) return false;
        List<Power.Restart> all = new ArrayList<>();
        double at = bus.recorder.startsAtSeconds() + bus.uniform(0, 0.5) * bus.seconds;
        int count = 1 + bus.dice.nextInt(5);
        for (int i = 0; i < count; i++) {
            double off = bus.logUniform(0.02, 1.5);
            all.add(new Power.Restart(at, off));
            at += off + bus.logUniform(0.5, 0.5 * bus.seconds);
        }
        node.power = Power.ALWAYS.withRestarts(all);
        return true;
    }

    private static boolean replaced(BusDraft bus) {
        NodeDraft old = bus.pickNode();
        if (old == null || old.power != Power.ALWAYS || old.messages.isEmpty()) return false;
        double until = bus.recorder.startsAtSeconds() + bus.uniform(0.2, 0.8) * bus.seconds;
        double from = until + bus.logUniform(0.3, 5);
        NodeDraft fresh = RandomBus.node(bus, old.name + " spare");
        for (MessageDraft message : old.messages) {
            message.taken = true;
            fresh.messages.add(message.copy());
        }
        old.power = Power.ALWAYS.within(0, until);
        fresh.power = Power.ALWAYS.within(from, Double.POSITIVE_INFINITY);
        bus.nodes.add(fresh);
        return true;
    }

    /** All nodes go off together and boot one after the other. */
    private static boolean sleeping(BusDraft bus) {
        for (NodeDraft node : bus.nodes) if (node.power != Power.ALWAYS) return false;
        int count = 1 + bus.dice.nextInt(3);
        double[] at = new double[count];
        double[] off = new double[count];
        double next = bus.recorder.startsAtSeconds() + bus.uniform(0.1, 0.5) * bus.seconds;
        for (int i = 0; i < count; i++) {
            at[i] = next;
            off[i] = bus.logUniform(0.5, 0.2 * bus.seconds + 1);
            next += off[i] + bus.uniform(1.5, 0.4 * bus.seconds + 2);
        }
        for (NodeDraft node : bus.nodes) {
            List<Power.Restart> all = new ArrayList<>();
            for (int i = 0; i < count; i++) all.add(new Power.Restart(at[i], off[i] + bus.uniform(0, 0.3)));
            node.power = Power.ALWAYS.withRestarts(all);
        }
        return true;
    }

    /** One unit is alone for a while at the start. */
    private static boolean noAcknowledge(BusDraft bus) {
        for (NodeDraft node : bus.nodes) if (node.power != Power.ALWAYS) return false;
        double from = bus.recorder.startsAtSeconds() + bus.uniform(0.1, 1.2);
        NodeDraft alone = bus.nodes.get(bus.dice.nextInt(bus.nodes.size()));
        for (NodeDraft node : bus.nodes) {
            if (node != alone) node.power = Power.ALWAYS.within(from + bus.uniform(0, 0.2), Double.POSITIVE_INFINITY);
        }
        return true;
    }

    private static boolean warming(BusDraft bus) {
        for (NodeDraft node : bus.nodes) {
            Oscillator was = node.oscillator;
            node.oscillator = new Oscillator(was.ppm(), was.wanderPpm(), bus.uniform(-60, 60), bus.logUniform(10, 300));
        }
        return true;
    }

    private static boolean resonators(BusDraft bus) {
        for (NodeDraft node : bus.nodes) {
            if (bus.chance(0.5)) node.oscillator = Oscillator.of(bus.uniform(-3000, 3000), bus.logUniform(2, 30));
        }
        return true;
    }

    private static boolean misreading(BusDraft bus, Misreading.Kind kind) {
        NodeDraft sender = bus.pickNode();
        if (sender == null || sender.messages.isEmpty()) return false;
        MessageDraft message = sender.messages.get(bus.dice.nextInt(sender.messages.size()));
        int bit = bus.chance(0.25) ? Misreading.ANY_BIT
                : bus.dice.nextInt(13, (message.extended ? 39 : 19) + 8 * message.length + 15);
        NodeDraft who = sender;
        if (kind == Misreading.Kind.RECEIVER) {
            who = bus.nodes.get(bus.dice.nextInt(bus.nodes.size()));
            if (who == sender) return false;
        }
        boolean any = kind == Misreading.Kind.RECEIVER && bus.chance(0.2);
        bus.misreadings.add(new Misreading(who.name, any ? Misreading.ANY_MESSAGE
                : MessageKey.can(message.identifier, message.extended), bit,
                any ? bus.logUniform(0.001, 0.02) : bus.logUniform(0.01, 0.5), kind));
        return true;
    }

    private static boolean interference(BusDraft bus) {
        double bit = 1 / bus.bitsPerSecond;
        bus.interference.add(Interference.random(bus.logUniform(0.1, 20), bit * bus.logUniform(0.3, 20), bus.chance(0.7)));
        if (bus.chance(0.3)) {
            bus.interference.add(Interference.random(bus.logUniform(0.1, 5), bit * bus.logUniform(0.3, 10), false));
        }
        return true;
    }

    private static boolean gaps(BusDraft bus) {
        List<RecorderBehaviour.Missed> all = new ArrayList<>();
        double at = bus.uniform(0.05, 0.4) * bus.seconds;
        int count = 1 + bus.dice.nextInt(5);
        for (int i = 0; i < count; i++) {
            double until = at + bus.logUniform(1e-3, 0.1 * bus.seconds);
            if (until > 0.95 * bus.seconds) break;
            all.add(new RecorderBehaviour.Missed(at, until));
            at = until + bus.logUniform(0.05, 0.3 * bus.seconds);
        }
        bus.recorder = bus.recorder.withGaps(all);
        return !all.isEmpty();
    }

    private static boolean glitches(BusDraft bus) {
        double bitNanos = 1e9 / bus.bitsPerSecond;
        double nanos = Math.max(bitNanos * bus.uniform(0.01, 0.15), bus.recorder.tickPicos() * 1e-3);
        bus.recorder = bus.recorder.withGlitches(bus.logUniform(0.5, 50), Math.min(nanos, 0.2 * bitNanos));
        return true;
    }

    private static boolean ringing(BusDraft bus) {
        double bitNanos = 1e9 / bus.bitsPerSecond;
        for (NodeDraft node : bus.nodes) {
            if (!bus.chance(0.6)) continue;
            node.drive = node.drive.withRinging(1 + bus.dice.nextInt(3), bitNanos * bus.uniform(0.01, 0.05),
                    bus.uniform(0.1, 1));
        }
        return true;
    }
}
