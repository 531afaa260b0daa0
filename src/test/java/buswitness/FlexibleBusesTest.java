package buswitness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.Decoded;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import buswitness.senders.SenderFindings;
import buswitness.senders.Senders;
import buswitness.simulate.BusKind;
import buswitness.simulate.Drive;
import buswitness.simulate.Field;
import buswitness.simulate.FrameKind;
import buswitness.simulate.Interference;
import buswitness.simulate.Misreading;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.Oscillator;
import buswitness.simulate.Power;
import buswitness.simulate.RecorderBehaviour;
import buswitness.simulate.Scenario;
import buswitness.simulate.Sending;
import buswitness.simulate.Simulations;
import buswitness.simulate.SoftwareDelay;
import buswitness.simulate.Trigger;
import buswitness.simulate.TruthSink;
import buswitness.simulate.ValueSource;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * CAN FD buses, with classical frames among them, drawn at random: with one sender for every message and an innocent twin
 * of a clash nobody is accused; with a second sender the clash is found, or called undecided.
 */
class FlexibleBusesTest {
    private static final int ID = 0x1D0;
    private static final double SECONDS = 20;

    /** What is odd about message {@link #ID}. */
    enum Oddity {
        NOTHING, MARGINAL_BIT, BAD_SAMPLE_POINT, INTERFERENCE, TWO_TASKS, BOTH_KINDS, ONE_RATE, RESTARTS, ON_CHANGE,
        TWO_SENDERS, IN_STEP, UNLIKE_KINDS, UNLIKE_LENGTHS;

        boolean isClash() {
            return ordinal() >= TWO_SENDERS.ordinal();
        }
    }

    private static ClashFindings judge(Scenario scenario) {
        FrameReader reader = new FrameReader(new FrameReader.Options("can-fd", scenario.bitsPerSecond(),
                scenario.recorder().tickPicos(), null, scenario.bus().dataBitsPerSecond()), 0, new NoticeLog(10));
        Simulations.run(scenario, reader, TruthSink.NONE);
        Decoded decoded = reader.finish();
        SenderFindings senders = Senders.find(decoded.frames(), decoded.bus(), decoded.gaps(), null);
        assertTrue(decoded.frames().wholeCount() > 100, "only " + decoded.frames().wholeCount());
        return Clashes.judge(decoded.frames(), decoded.bus(), decoded.gaps(), senders, null);
    }

    private static ValueSource value(SplittableRandom random) {
        return switch (random.nextInt(5)) {
            case 0 -> new ValueSource.Constant(random.nextInt(256));
            case 1 -> new ValueSource.Counter(16, 1);
            case 2 -> new ValueSource.Walk(random.nextInt(40, 200), random.nextInt(1, 20), 0, 255);
            case 3 -> new ValueSource.Noisy(new ValueSource.Constant(random.nextInt(40, 200)), random.nextInt(1, 30), 0);
            default -> new ValueSource.Jumping(new ValueSource.Constant(random.nextInt(256)), random.nextInt(256), 1, 0.3);
        };
    }

    private static List<Field> fields(SplittableRandom random, int length) {
        List<Field> fields = new ArrayList<>();
        for (int b = 0; b < Math.min(length, 12); b++) fields.add(Field.of(8 * b, 8, value(random)));
        return fields;
    }

    private static Sending message(SplittableRandom random, int identifier, FrameKind kind, double period, double phase) {
        int[] lengths = {1, 3, 8, 12, 16, 24, 48, 64};
        int length = kind == FrameKind.CLASSICAL ? random.nextInt(1, 9) : lengths[random.nextInt(lengths.length)];
        return new Sending(identifier, false, false, length, List.of(new Trigger.Cyclic(period, phase, 0)),
                fields(random, length), 0, null, kind);
    }

    private static FrameKind kind(SplittableRandom random) {
        return random.nextInt(3) == 0 ? FrameKind.CLASSICAL : random.nextInt(4) == 0 ? FrameKind.FD : FrameKind.FD_SWITCHED;
    }

    /** A slow value and bytes that stay, so that a second sender would show. */
    private static List<Field> slow(int first, int rest, int length) {
        List<Field> fields = new ArrayList<>(List.of(Field.of(0, 8, new ValueSource.Walk(first, 0.5, 0, 255))));
        for (int b = 1; b < Math.min(length, 8); b++) fields.add(Field.of(8 * b, 8, new ValueSource.Constant(rest + b)));
        return fields;
    }

    private static Scenario draw(Oddity oddity, int seed) {
        SplittableRandom random = new SplittableRandom(90_000L + 1_000L * oddity.ordinal() + seed);
        double[][] rates = {{500_000, 2_000_000}, {250_000, 1_000_000}, {125_000, 500_000}, {500_000, 2_000_000}};
        double[] rate = rates[random.nextInt(rates.length)];
        List<List<Sending>> sends = new ArrayList<>();
        double[] periods = {0.02, 0.05, 0.1, 0.2};
        for (int n = 0; n < 4; n++) {
            List<Sending> own = new ArrayList<>();
            for (int m = random.nextInt(1, 3); m >= 0; m--) {
                own.add(message(random, 0x0A0 + 0x40 * random.nextInt(14) + 4 * n + m, kind(random),
                        periods[random.nextInt(periods.length)], Double.NaN));
            }
            sends.add(own);
        }
        int length = new int[] {8, 12, 24, 64}[random.nextInt(4)];
        Sending asked = new Sending(ID, false, false, length, List.of(new Trigger.Cyclic(0.1, 0.013, 0)),
                slow(200, 16, length), 0, null, oddity == Oddity.ONE_RATE ? FrameKind.FD : FrameKind.FD_SWITCHED);
        sends.get(0).add(asked);
        double clock = 60 * (2 * random.nextDouble() - 1);
        List<NodeBehaviour> nodes = new ArrayList<>();
        List<Misreading> misreads = new ArrayList<>();
        List<Interference> noise = new ArrayList<>();
        int bit = 22 + random.nextInt(8 * Math.min(8, length));
        switch (oddity) {
            case MARGINAL_BIT -> misreads.add(new Misreading("node 0", MessageKey.can(ID, false),
                    random.nextBoolean() ? bit : Misreading.ANY_BIT, 0.2, Misreading.Kind.SLOW_EDGE));
            case BAD_SAMPLE_POINT -> misreads.add(new Misreading("node 2", MessageKey.can(ID, false), bit, 0.2,
                    Misreading.Kind.RECEIVER));
            case INTERFERENCE -> noise.add(Interference.random(2 + 6 * random.nextDouble(), 4 / rate[0],
                    random.nextInt(4) != 0));
            case TWO_TASKS -> sends.get(0).add(asked.withTriggers(List.of(new Trigger.Cyclic(0.1, 0.0131, 0)))
                    .withFields(slow(40, 90, length)));
            case BOTH_KINDS -> sends.get(0).add(new Sending(ID, false, false, 8, List.of(new Trigger.Cyclic(0.1, 0.052, 0)),
                    slow(200, 16, 8), 0, null, FrameKind.CLASSICAL));
            case ON_CHANGE -> sends.get(0).set(sends.get(0).size() - 1, asked.withTriggers(List.of(
                    new Trigger.Cyclic(0.1, 0.013, 0), new Trigger.OnChange(0.01, random.nextBoolean(), 0.03))));
            case TWO_SENDERS -> sends.get(1).add(asked.withTriggers(List.of(new Trigger.Cyclic(0.1, 0.1 * random.nextDouble(),
                    0))).withFields(slow(40, 90, length)));
            case IN_STEP -> sends.get(1).add(asked.withTriggers(List.of(new Trigger.Cyclic(0.1, 0.0134, 0)))
                    .withFields(slow(40, 90, length)));
            case UNLIKE_KINDS -> sends.get(1).add(new Sending(ID, false, false, 8, List.of(new Trigger.Cyclic(0.1, 0.0134, 0)),
                    slow(40, 90, 8), 0, null, FrameKind.CLASSICAL));
            case UNLIKE_LENGTHS -> sends.get(1).add(new Sending(ID, false, false, length == 64 ? 48 : 64,
                    List.of(new Trigger.Cyclic(0.1, 0.0134, 0)), slow(200, 16, 48), 0, null, FrameKind.FD_SWITCHED));
            default -> { }
        }
        if (oddity == Oddity.IN_STEP || oddity == Oddity.UNLIKE_KINDS || oddity == Oddity.UNLIKE_LENGTHS) {
            // A long frame goes ahead of both now and then, so that both wait for its end.
            sends.get(2).add(new Sending(0x050, false, false, 64, List.of(new Trigger.Cyclic(0.1, 0.0128, 0)),
                    fields(random, 64), 0, null, FrameKind.FD));
        }
        for (int n = 0; n < 4; n++) {
            double ppm = n == 0 ? clock : n == 1 ? clock - 30 - 60 * random.nextDouble() : 60 * (2 * random.nextDouble() - 1);
            NodeBehaviour node = NodeBehaviour.named("node " + n).withSends(sends.get(n))
                    .withOscillator(Oscillator.of(ppm, 0.5)).withDelay(new SoftwareDelay(5e-6, 2e-5, 0))
                    .withDrive(new Drive(30 * (2 * random.nextDouble() - 1), 100 + 60 * random.nextDouble(), 0, 50, 0));
            if (oddity == Oddity.RESTARTS && n == 0) {
                node = node.withPower(Power.ALWAYS.withRestarts(List.of(new Power.Restart(6.1, 0.3),
                        new Power.Restart(13.037, 0.4))));
            }
            nodes.add(node);
        }
        return Scenario.of(rate[0], SECONDS, seed, nodes).withMisreadings(misreads).withInterference(noise)
                .withRecorder(RecorderBehaviour.MICROSECOND.withTick(random.nextBoolean() ? 25_000 : 12_500))
                .onBus(BusKind.canFd(rate[1]).sampledAt(0.7 + 0.1 * random.nextDouble())
                        .slowAtOnce(random.nextBoolean()));
    }

    private static List<Long> accused(ClashFindings findings) {
        return findings.messages().stream().filter(m -> m.verdict() == Verdict.TWO_SENDERS).map(MessageFinding::key).toList();
    }

    private static int buses() {
        return Integer.getInteger("buswitness.fdBuses", 1);
    }

    /** {@code -Dbuswitness.fdBuses=N} draws more and prints what came out: analysis-notes/other-buses.md. */
    @ParameterizedTest
    @EnumSource(Oddity.class)
    void whoIsAccused(Oddity oddity) {
        int found = 0;
        int undecided = 0;
        int headOn = 0;
        int wrong = 0;
        StringBuilder which = new StringBuilder();
        for (int seed = 1; seed <= buses(); seed++) {
            ClashFindings findings = judge(draw(oddity, seed));
            for (long key : accused(findings)) {
                if (oddity.isClash() && key == MessageKey.can(ID, false)) {
                    found++;
                } else {
                    wrong++;
                    which.append(oddity).append(' ').append(seed).append(' ').append(MessageKey.text(key)).append("; ");
                }
            }
            boolean open = findings.messages().stream().anyMatch(m -> m.key() == MessageKey.can(ID, false)
                    && m.verdict() == Verdict.UNDECIDED);
            if (open) undecided++;
            if (findings.collisions().stream().anyMatch(Collision::conclusive)) headOn++;
        }
        System.out.printf("%s: %d buses, two senders %d, undecided %d, with conclusive collisions %d, wrongly accused %d%n",
                oddity, buses(), found, undecided, headOn, wrong);
        assertEquals("", which.toString());
        if (oddity.isClash()) assertTrue(found + undecided >= (buses() + 1) / 2, "found " + found + " of " + buses());
    }
}
