package buswitness.calibrate;

import buswitness.frames.FormatBits;
import buswitness.schema.BusFormat;
import buswitness.schema.FieldFormat;
import buswitness.schema.LineFormat;
import buswitness.simulate.BusKind;
import buswitness.simulate.Drive;
import buswitness.simulate.Field;
import buswitness.simulate.Habits;
import buswitness.simulate.Interference;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.OnFormat;
import buswitness.simulate.Oscillator;
import buswitness.simulate.RecorderBehaviour;
import buswitness.simulate.Scenario;
import buswitness.simulate.Sending;
import buswitness.simulate.SlotTable;
import buswitness.simulate.SoftwareDelay;
import buswitness.simulate.Trigger;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeSet;

/**
 * A random bus other than CAN. Even seeds have one sender for each message, some of them with habits that look like two;
 * odd seeds are drawn alike and have a second sender of one message besides.
 *
 * @param scenario   what to simulate
 * @param clashKey   message of two senders, or -1
 * @param clocksApart of the two, parts per million, positive; NaN where there is one
 * @param habits     what is odd about it, in words
 */
record SlowBus(long seed, Scenario scenario, long clashKey, double clocksApart, List<String> habits) {
    private static final double SECONDS = 40;
    private static final double[] PERIODS = {0.1, 0.15, 0.2, 0.25, 0.5, 1};
    private static final int MOST_LENGTH = 6;
    private static final double LONG_REST_BITS = 100;
    private static final double SELDOM = 5;
    private static final String MASTER = "master";

    SlowBus {
        habits = List.copyOf(habits);
    }

    static SlowBus of(BusFormat format, long seed) {
        return new Draw(format, seed).bus();
    }

    static boolean isClash(long seed) {
        return (seed & 1) != 0;
    }

    /** One bus on its way. */
    private static final class Draw {
        private final BusFormat format;
        private final long seed;
        private final SplittableRandom random;
        private final boolean asked;
        private final double widestPpm;
        private final List<String> habits = new ArrayList<>();
        private final List<NodeBehaviour> nodes = new ArrayList<>();
        private final List<SlotTable.Slot> slots = new ArrayList<>();
        private final TreeSet<Integer> names = new TreeSet<>();

        Draw(BusFormat format, long seed) {
            this.format = format;
            this.seed = seed;
            random = new SplittableRandom(new SplittableRandom(seed).nextLong() + format.name().hashCode());
            asked = format.naming().answer() != null;
            // Slaves of LIN may be 1.5 % off (LIN 2.1, 6.3; from memory); crystals and resonators elsewhere.
            widestPpm = asked ? 14_000 : 3_000;
        }

        SlowBus bus() {
            int count = random.nextInt(2, 5);
            for (int n = 0; n < count; n++) node(n);
            long clash = -1;
            double apart = Double.NaN;
            if (isClash(seed)) {
                Sending theirs = nodes.get(0).sends().get(0);
                clash = theirs.key();
                apart = second(theirs);
            }
            if (asked) nodes.add(NodeBehaviour.named(MASTER).withOscillator(Oscillator.of(ppm(3_000), 5)));
            List<Interference> noise = new ArrayList<>();
            if (random.nextInt(3) == 0) {
                noise.add(Interference.random(random.nextDouble() * 3, 2e-5 + 3e-4 * random.nextDouble(),
                        random.nextInt(4) != 0));
                habits.add("noise");
            }
            double rate = asked ? new double[] {9_600, 10_417, 19_200}[random.nextInt(3)] : format.bitsPerSecond();
            Scenario scenario = Scenario.of(rate, SECONDS, seed, nodes).withInterference(noise)
                    .withRecorder(RecorderBehaviour.MICROSECOND.withIdleLevel(Math.max(0, format.line().idleLevel()))
                            .withOscillator(Oscillator.of(ppm(50), 1)))
                    .onBus(new BusKind(format, asked ? new SlotTable(MASTER, slots) : null));
            return new SlowBus(seed, scenario.withName(format.name()), clash, apart, habits);
        }

        private double ppm(double widest) {
            return widest * (2 * random.nextDouble() - 1);
        }

        private void node(int n) {
            List<Sending> sends = new ArrayList<>();
            int messages = random.nextInt(1, 4);
            for (int m = 0; m < messages; m++) {
                Sending sending = message(n);
                sends.add(sending);
                if (asked) slots.add(new SlotTable.Slot(sending.key(), slotSeconds(sending)));
            }
            double wander = random.nextInt(4) == 0 ? random.nextInt(100, 600) : random.nextInt(1, 30);
            if (wander >= 100) habits.add("wandering clock");
            Habits own = Habits.USUAL.withPauses(3e-4 * random.nextDouble(),
                    random.nextInt(4) == 0 ? 2e-4 * random.nextDouble() : 0, 0);
            if (random.nextInt(6) == 0) {
                own = own.withWrongChecks(0.02 + 0.3 * random.nextDouble() * random.nextDouble());
                habits.add("wrong checks");
            }
            if (format.response() != null && n > 0 && random.nextInt(3) == 0) {
                own = own.withAnswers(List.of(new Habits.Answer(nodes.get(0).sends().get(0).key(),
                        new byte[] {(byte) random.nextInt(1, 200)})));
                habits.add("replies");
            }
            nodes.add(NodeBehaviour.named("node " + n).withOscillator(Oscillator.of(ppm(widestPpm), wander))
                    .withDelay(new SoftwareDelay(0, random.nextDouble() * 6e-4, random.nextInt(3) == 0 ? 2e-4 : 0))
                    .withDrive(Drive.CLEAN.withAsymmetry(800 * (2 * random.nextDouble() - 1)))
                    .withSends(sends).withHabits(own));
        }

        /** Header, answer and half as much again. */
        private double slotSeconds(Sending sending) {
            return 5e-3 * Math.ceil(((34 + 10 * (sending.length() + 1)) * 1.4 / 9_600 + 2e-3) / 5e-3);
        }

        private Sending message(int node) {
            int length = length();
            List<Field> fields = fields(length);
            int name = name(node);
            Map<String, Long> beside = beside(node);
            OnFormat on = new OnFormat(format.nameDigits(), beside, random.nextInt(4) == 0);
            List<Trigger> triggers = new ArrayList<>();
            if (!asked) {
                double period = PERIODS[random.nextInt(PERIODS.length)] * (restsLong() ? SELDOM : 1);
                boolean jitter = random.nextInt(4) == 0;
                triggers.add(random.nextInt(8) == 0 ? loop(period)
                        : new Trigger.Cyclic(period, Double.NaN, jitter ? period / 40 : 0));
                if (random.nextInt(4) == 0) {
                    triggers.add(new Trigger.OnChange(0.01, random.nextBoolean(), 0.03));
                    habits.add("sends on change");
                }
            }
            return new Sending(name, false, false, length, triggers, fields, random.nextInt(256), on);
        }

        /** Where 25 ms of rest part two frames (ISO 9141-2), the usual periods would fill the bus several times over. */
        private boolean restsLong() {
            return format.line() instanceof LineFormat.Bytes bytes && bytes.restBits() > LONG_REST_BITS;
        }

        private Trigger loop(double period) {
            habits.add("delay loop");
            return new Trigger.DelayLoop(period, Double.NaN, new SoftwareDelay(0, period / 50, 0));
        }

        private int length() {
            FieldFormat data = format.field(format.naming().data());
            if (data.length() instanceof FieldFormat.Length.One) return data.bits() / 8;
            if (data.length() instanceof FieldFormat.Length.Counted counted && !counted.table().isEmpty()) {
                int length = 0;
                while (length < 1 || length > MOST_LENGTH) length = counted.table().get(random.nextInt(counted.table().size()));
                return length;
            }
            return random.nextInt(1, Math.min(MOST_LENGTH, format.mostDataBytes()) + 1);
        }

        private List<Field> fields(int length) {
            List<Field> fields = new ArrayList<>();
            for (int b = 0; b < length; b++) fields.add(Field.of(8 * b, 8, value()));
            return fields;
        }

        private ValueSource value() {
            return switch (random.nextInt(9)) {
                case 0, 1 -> new ValueSource.Constant(random.nextInt(256));
                case 2 -> new ValueSource.Counter(random.nextBoolean() ? 16 : 256, 1);
                case 3, 4 -> new ValueSource.Walk(random.nextInt(40, 200), random.nextInt(1, 40), 0, 255);
                case 5 -> new ValueSource.Noisy(new ValueSource.Constant(random.nextInt(40, 200)), random.nextInt(1, 30), 0);
                case 6 -> jumping();
                case 7 -> new ValueSource.Toggle(random.nextInt(128), random.nextInt(128, 256), 0.3 + 3 * random.nextDouble(),
                        0.5, 0);
                default -> pages();
            };
        }

        private ValueSource jumping() {
            habits.add("jumping reading");
            return new ValueSource.Jumping(new ValueSource.Constant(random.nextInt(256)), random.nextInt(256),
                    0.2 + 2 * random.nextDouble(), 0.3);
        }

        private ValueSource pages() {
            habits.add("pages");
            return new ValueSource.Pages(new long[] {0, 1, 2});
        }

        /** Which the format can carry, and nobody has yet. */
        private int name(int node) {
            while (true) {
                int name = switch (format.name()) {
                    case "lin" -> random.nextInt(60);
                    // Three header bytes, no reply asked for, target, and the node's own number (SAE J2178-1).
                    case "j1850-vpw", "j1850-pwm" -> (random.nextInt(8) << 5 | 0x08) << 16 | random.nextInt(256) << 8
                            | 0x10 + node;
                    case "iso9141" -> 0x48 << 16 | random.nextInt(256) << 8 | 0x10 + node;
                    case "iso14230" -> random.nextInt(256) << 8 | 0x10 + node;
                    default -> random.nextInt(1 << Math.min(24, format.nameBits()));
                };
                if (names.contains(name)) continue;
                try {
                    FormatBits.of(format, name, beside(node), new byte[0], false);
                } catch (IllegalArgumentException shape) {
                    // A length that no frame has is tried with its own bytes later; a name that fits no field is not.
                    if (shape.getMessage().startsWith("no such message")) continue;
                }
                names.add(name);
                return name;
            }
        }

        /** Fields beside the name: the sender's number where there is one, and the header's mode on ISO 14230. */
        private Map<String, Long> beside(int node) {
            Map<String, Long> out = new HashMap<>();
            String sender = format.naming().sender();
            if (sender != null && !format.naming().message().contains(sender)) out.put(sender, (long) node + 1);
            if (format.name().equals("iso14230")) out.put("mode", 2L);
            return out;
        }

        /** A further node that sends what the first one sends. @return how far their clocks lie apart */
        private double second(Sending theirs) {
            List<Field> own = new ArrayList<>();
            boolean likeness = random.nextInt(3) == 0;
            for (Field field : theirs.fields()) {
                own.add(likeness && random.nextBoolean() ? field : Field.of(field.signal(), value()));
            }
            double apart = Math.exp(Math.log(asked ? 20 : 5) + random.nextDouble() * Math.log(asked ? 1_000 : 800));
            double first = nodes.get(0).oscillator().ppm();
            double ppm = first > 0 ? first - apart : first + apart;
            Habits habits = Habits.USUAL.withPauses(3e-4 * random.nextDouble(), 0, 0)
                    .withReadBack(random.nextInt(5) != 0);
            nodes.add(NodeBehaviour.named("second").withOscillator(Oscillator.of(ppm, random.nextInt(1, 30)))
                    .withDelay(new SoftwareDelay(0, random.nextDouble() * 6e-4, 0))
                    .withDrive(Drive.CLEAN.withAsymmetry(800 * (2 * random.nextDouble() - 1)))
                    .withSends(List.of(theirs.withFields(own))).withHabits(habits));
            return apart;
        }
    }
}
