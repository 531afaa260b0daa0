package buswitness.calibrate;

import buswitness.simulate.Drive;
import buswitness.simulate.Field;
import buswitness.simulate.Oscillator;
import buswitness.simulate.SoftwareDelay;
import buswitness.simulate.Trigger;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.List;

/** Puts a second sender of some messages on a bus. */
final class SecondSender {
    private static final double LEAST_PERIOD = 0.01;
    private final BusDraft bus;
    private final String style;
    private final String data;

    SecondSender(BusDraft bus) {
        this.bus = bus;
        double kind = bus.dice.nextDouble();
        style = kind < 0.5 ? "equal periods" : kind < 0.62 ? "different periods" : kind < 0.74 ? "events"
                : kind < 0.86 ? "one much faster" : "head-on";
        double same = bus.dice.nextDouble();
        data = same < 0.5 ? "differ" : same < 0.75 ? "differ a little" : "agree";
    }

    String style() {
        return style;
    }

    String data() {
        return data;
    }

    List<RandomBus.Clash> put() {
        NodeDraft victim = bus.nodes.get(bus.dice.nextInt(bus.nodes.size()));
        bus.victim = victim;
        double difference = bus.chance(0.08) ? 0 : bus.logUniform(0.5, 5000) * (bus.chance(0.5) ? 1 : -1);
        if (style.equals("head-on")) difference = bus.logUniform(1, 200) * (bus.chance(0.5) ? 1 : -1);
        Oscillator clock = Oscillator.of(victim.oscillator.ppm() + difference, bus.logUniform(0.3, 7));
        double most = bus.chance(0.2) ? 0 : bus.logUniform(2e-5, 2e-3);
        SoftwareDelay delay = style.equals("head-on") ? victim.delay : new SoftwareDelay(0, most, 0);
        Drive drive = Drive.CLEAN.withAsymmetry(bus.uniform(-60, 60)).withLoopDelay(bus.uniform(80, 250));
        NodeDraft second = new NodeDraft("second", clock, delay, drive);
        bus.second = second;
        List<RandomBus.Clash> clashes = new ArrayList<>();
        int count = Math.min(victim.messages.size(), 1 + bus.dice.nextInt(3));
        List<MessageDraft> left = new ArrayList<>(victim.messages);
        while (clashes.size() < count) {
            MessageDraft message = left.remove(bus.dice.nextInt(left.size()));
            clashes.add(copy(victim, second, message, difference));
        }
        if (bus.chance(0.6)) ownMessages(second);
        bus.nodes.add(bus.chance(0.5) ? bus.nodes.size() : 0, second);
        return clashes;
    }

    private RandomBus.Clash copy(NodeDraft victim, NodeDraft second, MessageDraft first, double difference) {
        MessageDraft other = first.copy();
        other.triggers.clear();
        double period = first.periodSeconds;
        double theirs = period;
        switch (style) {
            case "different periods" -> {
                theirs = Math.max(LEAST_PERIOD, period * bus.oneOf(0.5, 0.8, 1.25, 1.5, 2, 2.5));
                other.triggers.add(new Trigger.Cyclic(theirs, Double.NaN, 0));
            }
            case "events" -> {
                theirs = Double.NaN;
                other.triggers.add(new Trigger.AtRandom(bus.logUniform(0.2, 5), bus.chance(0.5) ? 0 : 0.01));
            }
            case "one much faster" -> {
                boolean faster = bus.chance(0.5) && room(first, 8);
                double by = bus.oneOf(5, 6, 8, 10);
                theirs = faster ? Math.max(LEAST_PERIOD, period / by) : period * by;
                other.triggers.add(new Trigger.Cyclic(theirs, Double.NaN, 0));
            }
            case "head-on" -> meet(first, other, difference);
            default -> other.triggers.add(new Trigger.Cyclic(period, Double.NaN, 0));
        }
        payload(first, other);
        other.periodSeconds = theirs;
        second.messages.add(other);
        return new RandomBus.Clash(first.key(), victim.name, second.name, period, theirs);
    }

    /** Whether the bus would still have room with the message sent so many times as often. */
    private boolean room(MessageDraft message, double by) {
        return by * message.bits() / bus.bitsPerSecond / message.periodSeconds < 0.15;
    }

    /** Phases such that the schedules meet while the recorder watches. */
    private void meet(MessageDraft first, MessageDraft other, double difference) {
        double at = bus.recorder.startsAtSeconds() + bus.uniform(0.15, 0.85) * bus.seconds;
        double phase = 0.2 * first.periodSeconds + bus.uniform(0, 0.6) * first.periodSeconds;
        first.triggers.clear();
        first.triggers.add(new Trigger.Cyclic(first.periodSeconds, phase, 0));
        double moved = phase - difference * 1e-6 * at;
        moved -= Math.floor(moved / first.periodSeconds) * first.periodSeconds;
        other.triggers.add(new Trigger.Cyclic(first.periodSeconds, moved, 0));
    }

    private void payload(MessageDraft first, MessageDraft other) {
        if (first.length == 0) return;
        if (data.equals("differ")) {
            other.fields = Payloads.any(bus, first.length);
            return;
        }
        first.fields = Payloads.settled(bus, first.length);
        other.fields = new ArrayList<>(first.fields);
        if (data.equals("agree")) return;
        int at = bus.dice.nextInt(first.length);
        first.fields.removeIf(field -> field.signal().firstBit() / 8 == at);
        other.fields.removeIf(field -> field.signal().firstBit() / 8 == at);
        int value = bus.dice.nextInt(250);
        first.fields.add(Payloads.byteOf(at, new ValueSource.Constant(value)));
        other.fields.add(Payloads.byteOf(at, new ValueSource.Constant(value + 1 + bus.dice.nextInt(5))));
        if (first.length > 1 && bus.chance(0.4)) {
            int last = first.length - 1;
            first.fields.removeIf(field -> field.signal().firstBit() / 8 == last);
            other.fields.removeIf(field -> field.signal().firstBit() / 8 == last);
            Field counter = Field.of(8 * last + 4, 4, new ValueSource.Counter(16, 1));
            first.fields.add(counter);
            other.fields.add(counter);
        }
    }

    private void ownMessages(NodeDraft second) {
        int count = 1 + bus.dice.nextInt(2);
        for (int i = 0; i < count; i++) {
            double period = bus.oneOf(0.1, 0.2, 0.5);
            MessageDraft own = new MessageDraft(bus.freshIdentifier(), bus.extended, 8, period);
            own.triggers.add(new Trigger.Cyclic(period, Double.NaN, 0));
            own.fields.addAll(Payloads.any(bus, 8));
            second.messages.add(own);
        }
    }
}
