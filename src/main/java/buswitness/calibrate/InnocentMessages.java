package buswitness.calibrate;

import buswitness.calibrate.BusDraft.Pick;
import buswitness.schema.Signal;
import buswitness.simulate.Field;
import buswitness.simulate.Oscillator;
import buswitness.simulate.SoftwareDelay;
import buswitness.simulate.Trigger;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.List;

/** Confounders that belong to a message: when it goes out and what it carries. */
final class InnocentMessages {
    private InnocentMessages() {}

    static boolean apply(Confounder confounder, BusDraft bus) {
        Pick pick = bus.pick();
        if (pick == null) return false;
        NodeDraft node = pick.node();
        MessageDraft message = pick.message();
        double period = message.periodSeconds;
        return switch (confounder) {
            case SEVERAL_TASKS -> severalTasks(bus, node, message);
            case TWO_TASKS_ONE_MESSAGE -> twoTasks(bus, message);
            case TWO_MAILBOXES -> twoMailboxes(bus, node, message);
            case UNIFORM_JITTER -> only(message, new Trigger.Cyclic(period, Double.NaN, period * bus.uniform(0.01, 0.15)));
            case TAILED_JITTER -> {
                node.delay = new SoftwareDelay(0, 0, bus.logUniform(1e-4, 2e-3));
                yield true;
            }
            case ON_CHANGE_TASK -> onChange(bus, message, new Trigger.OnChange(bus.oneOf(0.005, 0.01, 0.02), true,
                    bus.chance(0.5) ? 0 : 0.01));
            case ON_CHANGE_INTERRUPT -> onChange(bus, message, new Trigger.OnChange(bus.uniform(0.0005, 0.003), false,
                    bus.chance(0.5) ? 0 : bus.uniform(0.005, 0.03)));
            case DELAY_LOOP -> only(message, new Trigger.DelayLoop(0.97 * period, Double.NaN,
                    new SoftwareDelay(0.01 * period, 0.04 * period, 0)));
            case GATEWAY -> only(message, new Trigger.Forwarded(period, Double.NaN, foreign(bus), 0));
            case GATEWAY_POLLED -> only(message, new Trigger.Forwarded(period, Double.NaN, foreign(bus),
                    bus.oneOf(0.002, 0.005, 0.01)));
            case EVENT_ONLY -> eventOnly(bus, message);
            case PAGES -> pages(bus, message);
            case COUNTERS -> counters(bus, message);
            case JUMPING_COUNTER -> jumpingCounter(bus, message);
            case ALTERNATING_DATA -> first(bus, message, new ValueSource.Pages(new long[] {bus.dice.nextInt(256),
                    bus.dice.nextInt(256)}));
            case BAD_SENSOR -> first(bus, message, new ValueSource.Jumping(Payloads.walk(bus), bus.dice.nextInt(256),
                    bus.logUniform(0.2, 10), bus.logUniform(0.01, 1)));
            case NEAR_EQUAL -> nearEqual(bus, node, message);
            case REMOTE_ANSWERS -> remote(bus, node, message);
            default -> InnocentTiming.apply(confounder, bus, node, message);
        };
    }

    static boolean only(MessageDraft message, Trigger trigger) {
        message.triggers.clear();
        message.triggers.add(trigger);
        return true;
    }

    private static Oscillator foreign(BusDraft bus) {
        return Oscillator.of(bus.uniform(-150, 150), bus.logUniform(0.3, 7));
    }

    /** Periods on a task grid with an offset each, jitter of its own each. */
    private static boolean severalTasks(BusDraft bus, NodeDraft node, MessageDraft picked) {
        for (MessageDraft message : node.messages) {
            if (message.taken && message != picked) continue;
            double period = message.periodSeconds;
            if (!(period > 0)) continue;
            only(message, new Trigger.Cyclic(period, bus.dice.nextInt(10) * 0.001, bus.chance(0.5) ? 0
                    : Math.min(0.1 * period, bus.logUniform(5e-5, 2e-3))));
        }
        return true;
    }

    private static boolean twoTasks(BusDraft bus, MessageDraft message) {
        double period = message.periodSeconds;
        double other = bus.chance(0.5) ? period : period * bus.oneOf(0.8, 1.5, 2, 2.5, 4);
        double phase = bus.chance(0.5) ? Double.NaN : bus.dice.nextInt(100) * 0.001;
        message.triggers.add(new Trigger.Cyclic(other, phase, 0));
        return true;
    }

    private static boolean twoMailboxes(BusDraft bus, NodeDraft node, MessageDraft message) {
        if (message.length < 2) return false;
        MessageDraft other = message.copy();
        other.taken = true;
        other.triggers.clear();
        double period = bus.chance(0.6) ? message.periodSeconds : message.periodSeconds * bus.oneOf(0.5, 1.5, 2, 5);
        other.triggers.add(new Trigger.Cyclic(Math.max(0.01, period), Double.NaN, 0));
        message.fields = new ArrayList<>(Payloads.any(bus, message.length));
        other.fields = new ArrayList<>(Payloads.any(bus, message.length));
        message.fields.removeIf(field -> field.signal().firstBit() < 8);
        other.fields.removeIf(field -> field.signal().firstBit() < 8);
        message.fields.add(Payloads.byteOf(0, new ValueSource.Constant(1)));
        other.fields.add(Payloads.byteOf(0, new ValueSource.Constant(2)));
        node.messages.add(other);
        return true;
    }

    private static boolean onChange(BusDraft bus, MessageDraft message, Trigger trigger) {
        if (message.length == 0) return false;
        message.fields = new ArrayList<>();
        double often = bus.logUniform(0.3, 15);
        if (bus.chance(0.5)) {
            message.fields.add(Field.of(bus.dice.nextInt(8), 1,
                    new ValueSource.Toggle(0, 1, often, bus.uniform(0.2, 0.8), bus.uniform(0, often))));
        } else {
            message.fields.add(Payloads.byteOf(0, steps(bus, often)));
        }
        if (message.length > 1 && bus.chance(0.4)) Payloads.counter(bus, message.fields, message.length);
        if (bus.chance(0.15)) message.triggers.clear();
        message.triggers.add(trigger);
        return true;
    }

    /** A value that steps at random instants and stays. */
    static ValueSource steps(BusDraft bus, double meanSeconds) {
        return points(bus, instants(bus, meanSeconds));
    }

    static ValueSource points(BusDraft bus, double[] at) {
        double[] values = new double[at.length];
        for (int i = 0; i < at.length; i++) values[i] = bus.dice.nextInt(256);
        return new ValueSource.Points(at, values, true);
    }

    /** Random instants over the whole run, the first at its start. */
    static double[] instants(BusDraft bus, double meanSeconds) {
        List<Double> at = new ArrayList<>();
        double end = bus.seconds + bus.recorder.startsAtSeconds() + 1;
        for (double t = 0; t < end && at.size() < 5000; t += 0.02 + bus.dice.nextExponential() * meanSeconds) at.add(t);
        return at.stream().mapToDouble(Double::doubleValue).toArray();
    }

    private static boolean eventOnly(BusDraft bus, MessageDraft message) {
        message.periodSeconds = Double.NaN;
        return only(message, new Trigger.AtRandom(bus.logUniform(0.2, 20), bus.chance(0.5) ? 0 : bus.oneOf(0.005, 0.01)));
    }

    private static boolean pages(BusDraft bus, MessageDraft message) {
        if (message.length < 3) return false;
        int count = 2 + bus.dice.nextInt(5);
        long[] numbers = new long[count];
        for (int i = 0; i < count; i++) numbers[i] = i;
        message.fields = new ArrayList<>(List.of(Payloads.byteOf(0, new ValueSource.Pages(numbers))));
        for (int i = 0; i < count; i++) {
            for (int at = 1; at < message.length; at++) {
                Signal signal = new Signal("", 8 * at, 8, false, false, 1, 0, "", Double.NaN, new Signal.Page(0, 8, i));
                message.fields.add(Field.of(signal, bus.chance(0.6)
                        ? new ValueSource.Constant(bus.dice.nextInt(256)) : Payloads.walk(bus)));
            }
        }
        return true;
    }

    private static boolean counters(BusDraft bus, MessageDraft message) {
        if (message.length < 2) return false;
        message.fields = new ArrayList<>(Payloads.any(bus, message.length - 2));
        Payloads.counter(bus, message.fields, message.length - 1);
        message.fields.add(Payloads.byteOf(message.length - 1, new ValueSource.Check(bus.chance(0.5),
                bus.dice.nextInt(256))));
        return true;
    }

    private static boolean jumpingCounter(BusDraft bus, MessageDraft message) {
        if (message.length < 1) return false;
        ValueSource counter = new ValueSource.Counter(bus.chance(0.5) ? 16 : 15, bus.chance(0.7) ? 1 : 3);
        if (bus.chance(0.7)) {
            counter = new ValueSource.Jumping(counter, bus.dice.nextInt(15), bus.logUniform(0.1, 3),
                    bus.logUniform(0.01, 0.5));
        }
        message.fields.removeIf(field -> field.signal().firstBit() / 8 == message.length - 1);
        message.fields.add(Field.of(8 * message.length - 4, 4, counter));
        return true;
    }

    private static boolean first(BusDraft bus, MessageDraft message, ValueSource source) {
        if (message.length < 1) return false;
        int at = bus.dice.nextInt(message.length);
        message.fields.removeIf(field -> field.signal().firstBit() / 8 == at);
        message.fields.add(Payloads.byteOf(at, source));
        return true;
    }

    private static boolean nearEqual(BusDraft bus, NodeDraft node, MessageDraft message) {
        int twin = message.identifier ^ 1;
        if (!bus.identifiers.add(twin)) return false;
        MessageDraft other = new MessageDraft(twin, message.extended, message.length, message.periodSeconds);
        other.triggers.add(new Trigger.Cyclic(message.periodSeconds, Double.NaN, 0));
        other.fields = new ArrayList<>(message.fields);
        other.filler = message.filler;
        other.taken = true;
        node.messages.add(other);
        return true;
    }

    /** Another node asks; the owner answers a little later, besides its own schedule or instead of it. */
    private static boolean remote(BusDraft bus, NodeDraft owner, MessageDraft message) {
        NodeDraft asker = bus.pickNode();
        if (asker == null || asker == owner) return false;
        double mean = bus.logUniform(0.1, 3);
        double[] asks = bus.chance(0.5) ? instants(bus, mean) : InnocentTiming.comb(bus, asker, mean);
        double[] answers = new double[asks.length];
        for (int i = 0; i < asks.length; i++) answers[i] = asks[i] + bus.uniform(0.0005, 0.004);
        MessageDraft request = new MessageDraft(message.identifier, message.extended, message.length, Double.NaN);
        request.remote = true;
        request.taken = true;
        request.triggers.add(new Trigger.AtTimes(asks));
        asker.messages.add(request);
        if (bus.chance(0.4)) message.triggers.clear();
        message.triggers.add(new Trigger.AtTimes(answers));
        return true;
    }
}
