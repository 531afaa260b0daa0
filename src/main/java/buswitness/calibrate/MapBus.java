package buswitness.calibrate;

import buswitness.map.FieldKind;
import buswitness.schema.Signal;
import buswitness.simulate.Field;
import buswitness.simulate.RecorderBehaviour;
import buswitness.simulate.Oscillator;
import buswitness.simulate.Scenario;
import buswitness.simulate.Trigger;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/**
 * A bus with known senders, periods and payload structure, drawn from a seed, for {@code calibrate --map}.
 *
 * @param truth by message
 */
record MapBus(Scenario scenario, Map<Long, Truth> truth) {
    private static final double[] PERIODS = {0.01, 0.02, 0.025, 0.03, 0.04, 0.05, 0.05, 0.06, 0.08, 0.1, 0.1, 0.12, 0.15, 0.16,
            0.2, 0.2, 0.25, 0.3, 0.32, 0.4, 0.5, 0.5, 0.64, 1, 1, 2};
    private static final int MOST_FRAMES = 15_000;

    /**
     * What is true of a message.
     *
     * @param period true period on the node's own clock, NaN for events
     */
    record Truth(String node, double period, List<Part> parts) {}

    /** A field and what it is. */
    record Part(Signal signal, FieldKind kind) {}

    static MapBus of(long seed) {
        SplittableRandom dice = new SplittableRandom(seed * 0xD1B54A32D192ED03L ^ 0x2545F4914F6CDD1DL);
        double rate = new double[] {50e3, 125e3, 250e3, 500e3}[dice.nextInt(4)];
        BusDraft bus = new BusDraft(seed, dice, rate, 1);
        bus.seconds = bus.logUniform(20, 240);
        double load = bus.uniform(0.08, 0.5);
        bus.extended = bus.chance(0.12);
        Map<Long, Truth> truth = new HashMap<>();
        double framesPerSecond = traffic(bus, load, truth);
        bus.seconds = Math.max(15, Math.min(bus.seconds, MOST_FRAMES / framesPerSecond));
        double tick = bus.oneOf(1e5, 2.5e5, 5e5, 1e6);
        bus.recorder = RecorderBehaviour.MICROSECOND.withTick(Math.min(tick, 1e12 / rate / 8))
                .withOscillator(Oscillator.of(bus.uniform(-50, 50), bus.logUniform(0.1, 3))).withStart(bus.uniform(0, 3));
        return new MapBus(bus.build("map bus " + seed), truth);
    }

    private static double traffic(BusDraft bus, double load, Map<Long, Truth> truth) {
        int nodes = 2 + bus.dice.nextInt(7);
        for (int i = 0; i < nodes; i++) bus.nodes.add(RandomBus.node(bus, "unit " + (i + 1)));
        double busy = 0;
        double framesPerSecond = 0;
        for (int i = 0; i < 60 && (busy < load || i < nodes); i++) {
            double period = bus.oneOf(PERIODS);
            if (110 / bus.bitsPerSecond / period > 0.3 * load) period = Math.max(period, 0.1);
            int length = bus.chance(0.6) ? 8 : bus.dice.nextInt(9);
            MessageDraft message = new MessageDraft(bus.freshIdentifier(), bus.extended, length, period);
            double share = message.bits() / bus.bitsPerSecond / period;
            if (i >= nodes && busy + share > load + 0.05) continue;
            NodeDraft node = bus.nodes.get(i < nodes ? i : bus.dice.nextInt(nodes));
            boolean events = i >= nodes && bus.chance(0.08);
            if (events) {
                message.triggers.add(new Trigger.AtRandom(bus.logUniform(0.3, 5), bus.chance(0.5) ? 0 : 0.01));
            } else {
                double phase = bus.chance(0.5) ? Double.NaN : Math.floor(bus.uniform(0, period) / 0.005) * 0.005;
                message.triggers.add(new Trigger.Cyclic(period, phase, 0));
            }
            message.filler = bus.chance(0.7) ? 0 : bus.chance(0.5) ? 0xFF : bus.dice.nextInt(256);
            MapPayloads payload = new MapPayloads(bus, length);
            message.fields.addAll(payload.fields);
            node.messages.add(message);
            truth.put(message.key(), new Truth(node.name, events ? Double.NaN : period, payload.parts));
            busy += share;
            framesPerSecond += events ? 2 : 1 / period;
        }
        return framesPerSecond;
    }

    /** Draws a payload part by part, with wider, signed and low-byte-first numbers, flags, counters, checks and pages. */
    private static final class MapPayloads {
        final List<Field> fields = new ArrayList<>();
        final List<Part> parts = new ArrayList<>();
        private final BusDraft bus;

        MapPayloads(BusDraft bus, int length) {
            this.bus = bus;
            int until = length;
            int from = 0;
            if (length >= 3 && bus.chance(0.2)) {
                until--;
                add(8 * until, 8, false, false, FieldKind.CHECK, new ValueSource.Check(bus.chance(0.5), bus.dice.nextInt(256)),
                        null);
            }
            if (length >= 3 && bus.chance(0.12)) {
                pages(from, until);
                return;
            }
            if (until >= 2 && bus.chance(0.25)) {
                until--;
                boolean wide = bus.chance(0.3);
                add(8 * until + (wide ? 0 : 4), wide ? 8 : 4, false, false, FieldKind.COUNTER,
                        new ValueSource.Counter(wide ? 256 : bus.chance(0.5) ? 16 : 15, 1), null);
                if (!wide && bus.chance(0.4)) flag(8 * until + bus.dice.nextInt(4), null);
            }
            values(from, until, null);
        }

        private void pages(int from, int until) {
            int count = 2 + bus.dice.nextInt(5);
            long[] numbers = new long[count];
            for (int i = 0; i < count; i++) numbers[i] = i;
            add(8 * from, 8, false, false, FieldKind.PAGE, new ValueSource.Pages(numbers), null);
            for (int i = 0; i < count; i++) values(from + 1, until, new Signal.Page(8 * from, 8, i));
        }

        private void values(int from, int until, Signal.Page page) {
            int at = from;
            while (at < until) {
                double kind = bus.dice.nextDouble();
                if (kind < 0.22 && at + 1 < until) {
                    boolean signed = bus.chance(0.3);
                    add(8 * at, 16, bus.chance(0.4), signed, FieldKind.VALUE, moving(16, signed), page);
                    at += 2;
                } else if (kind < 0.3 && at + 1 < until) {
                    add(8 * at, 12, false, false, FieldKind.VALUE, moving(12, false), page);
                    if (bus.chance(0.5)) flag(8 * at + 12 + bus.dice.nextInt(4), page);
                    at += 2;
                } else if (kind < 0.55) {
                    boolean signed = bus.chance(0.15);
                    add(8 * at++, 8, false, signed, FieldKind.VALUE, moving(8, signed), page);
                } else if (kind < 0.75) {
                    int flags = 1 + bus.dice.nextInt(4);
                    int bit = 8 * at + bus.dice.nextInt(8 - flags + 1);
                    for (int f = 0; f < flags; f++) flag(bit + f, page);
                    at++;
                } else if (kind < 0.82) {
                    add(8 * at + 4, 4, false, false, FieldKind.VALUE, moving(4, false), page);
                    at++;
                } else {
                    at++;
                }
            }
        }

        private void flag(int bit, Signal.Page page) {
            add(bit, 1, false, false, FieldKind.FLAG, Payloads.toggle(bus, 1), page);
        }

        private ValueSource moving(int width, boolean signed) {
            double span = Math.scalb(1.0, width);
            double low = signed ? -span / 2 : 0;
            double middle = low + span * bus.uniform(0.3, 0.7);
            if (bus.chance(0.5)) {
                return new ValueSource.Walk(signed ? bus.uniform(-0.05, 0.05) * span : middle,
                        span * bus.logUniform(0.003, 0.08), low, low + span - 1);
            }
            double period = bus.logUniform(3, 60);
            ValueSource sine = new ValueSource.Sine(signed ? 0 : middle, span * bus.uniform(0.05, 0.28), period,
                    bus.uniform(0, period));
            return bus.chance(0.4) ? new ValueSource.Noisy(sine, span * bus.logUniform(0.0005, 0.01), 0) : sine;
        }

        private void add(int first, int width, boolean low, boolean signed, FieldKind kind, ValueSource source,
                         Signal.Page page) {
            Signal signal = new Signal("", first, width, low, signed, 1, 0, "", Double.NaN, page);
            fields.add(Field.of(signal, source));
            parts.add(new Part(signal, kind));
        }
    }
}
