package buswitness.calibrate;

import buswitness.simulate.Trigger;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Confounders whose instants are worked out one by one. */
final class InnocentTiming {
    private static final int MOST = 60_000;

    private InnocentTiming() {}

    static boolean apply(Confounder confounder, BusDraft bus, NodeDraft node, MessageDraft message) {
        return switch (confounder) {
            case TWO_LEVEL_JITTER -> twoLevels(bus, node, message);
            case CHANGE_BURSTS -> bursts(bus, message);
            case SYNC_STEPS -> syncSteps(bus, node, message);
            case RATE_SWITCH -> rateSwitch(bus, node, message);
            case MISSED_CYCLES -> missed(bus, node, message);
            default -> throw new IllegalArgumentException(confounder.name());
        };
    }

    /** A plain comb on a node's clock. */
    static double[] comb(BusDraft bus, NodeDraft node, double period) {
        double[] at = new double[Math.min(MOST, (int) (end(bus) / period) + 1)];
        double phase = bus.uniform(0, period);
        for (int i = 0; i < at.length; i++) at[i] = node.trueAt(phase + i * period);
        return at;
    }

    private static double end(BusDraft bus) {
        return bus.seconds * 1.01 + bus.recorder.startsAtSeconds() + 1;
    }

    private static boolean instants(MessageDraft message, double[] at) {
        Arrays.sort(at);
        return InnocentMessages.only(message, new Trigger.AtTimes(at));
    }

    private static boolean twoLevels(BusDraft bus, NodeDraft node, MessageDraft message) {
        double period = message.periodSeconds;
        double[] at = comb(bus, node, period);
        double later = Math.min(0.45 * period, bus.logUniform(5e-4, 2e-2));
        boolean regular = bus.chance(0.4);
        int every = 2 + bus.dice.nextInt(4);
        double share = bus.uniform(0.05, 0.5);
        for (int i = 0; i < at.length; i++) {
            at[i] += bus.uniform(0, 2e-4);
            if (regular ? i % every == 0 : bus.chance(share)) at[i] += later;
        }
        return instants(message, at);
    }

    private static boolean bursts(BusDraft bus, MessageDraft message) {
        if (message.length == 0) return false;
        double[] changes = InnocentMessages.instants(bus, bus.logUniform(0.5, 10));
        message.fields = new ArrayList<>();
        message.fields.add(Payloads.byteOf(0, InnocentMessages.points(bus, changes)));
        if (message.length > 1 && bus.chance(0.4)) {
            message.fields.add(Payloads.byteOf(message.length - 1, new ValueSource.Counter(256, 1)));
        }
        int repeats = 2 + bus.dice.nextInt(7);
        double apart = bus.oneOf(0.005, 0.01, 0.02, 0.025, 0.03);
        List<Double> at = new ArrayList<>();
        for (double change : changes) {
            for (int i = 0; i < repeats; i++) at.add(change + 1e-4 + i * apart);
        }
        double[] all = at.stream().mapToDouble(Double::doubleValue).sorted().toArray();
        if (bus.chance(0.3)) message.triggers.clear();
        message.triggers.add(new Trigger.AtTimes(all));
        return true;
    }

    /** A clock that follows a master: now and then its phase is put right in one step. */
    private static boolean syncSteps(BusDraft bus, NodeDraft node, MessageDraft message) {
        double[] at = comb(bus, node, message.periodSeconds);
        double mean = bus.logUniform(1, 30);
        double size = Math.min(0.4 * message.periodSeconds, bus.logUniform(2e-4, 2e-2));
        boolean oneWay = bus.chance(0.5);
        double shift = 0;
        double next = bus.dice.nextExponential() * mean;
        for (int i = 0; i < at.length; i++) {
            while (at[i] > next) {
                shift += oneWay ? size : size * (2 * bus.dice.nextDouble() - 1);
                next += 0.2 + bus.dice.nextExponential() * mean;
            }
            at[i] += shift + bus.uniform(0, 1e-4);
        }
        return instants(message, at);
    }

    /** Faster while something goes on, such as a lamp that blinks or a door that is open. */
    private static boolean rateSwitch(BusDraft bus, NodeDraft node, MessageDraft message) {
        double slow = message.periodSeconds;
        double fast = Math.max(0.01, slow / bus.oneOf(2, 4, 5, 10));
        boolean keepsGrid = bus.chance(0.5);
        double mean = bus.logUniform(1, 20);
        List<Double> at = new ArrayList<>();
        double local = bus.uniform(0, slow);
        double next = bus.dice.nextExponential() * mean;
        boolean quick = false;
        double end = end(bus);
        while (local < end && at.size() < MOST) {
            at.add(node.trueAt(local) + bus.uniform(0, 1e-4));
            local += quick ? fast : slow;
            if (local > next) {
                quick = !quick;
                if (!keepsGrid) local = next;
                next = local + 0.1 + bus.dice.nextExponential() * mean;
            }
        }
        return instants(message, at.stream().mapToDouble(Double::doubleValue).toArray());
    }

    private static boolean missed(BusDraft bus, NodeDraft node, MessageDraft message) {
        double[] all = comb(bus, node, message.periodSeconds);
        double share = bus.uniform(0.02, 0.4);
        double[] kept = Arrays.stream(all).filter(t -> !bus.chance(share)).map(t -> t + bus.uniform(0, 2e-4)).toArray();
        return instants(message, kept);
    }
}
