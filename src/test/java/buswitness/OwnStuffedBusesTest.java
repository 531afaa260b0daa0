package buswitness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.Decoded;
import buswitness.frames.FrameReader;
import buswitness.problem.NoticeLog;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.senders.Senders;
import buswitness.simulate.BusKind;
import buswitness.simulate.Field;
import buswitness.simulate.Habits;
import buswitness.simulate.Interference;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.OnFormat;
import buswitness.simulate.Oscillator;
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
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Buses of stuffed bits that a layout describes and that do not settle a start together silently: those that break frames
 * with error flags, and those on which bits lie one over the other. Both are of our own invention.
 */
class OwnStuffedBusesTest {
    private static final int NAME = 0x2A4;
    private static final double SECONDS = 30;

    private static Layout layout(boolean flags) {
        return Layouts.parse("""
                bus:
                  rate: 20 kbit/s
                  format:
                    name: own-wire
                    line: {kind: stuffed bits, stuff after: 4, stuffed until: guard, end bits: 6, rest bits: 4, acknowledge: %s, error flags: %s}
                    fields:
                      topic: {bits: 10}
                      size: {bits: 3}
                      body: {bits: 8, count: size}
                      guard: {bits: 12}
                    arbitration: %s
                    checks:
                      - {in: guard, from: topic, until: body, crc: {width: 12, polynomial: 0x80F}}
                    naming: {message: topic, data: body}
                messages: {engine warmth: {id: 0x2A4, length: 3}}
                """.formatted(flags, flags, flags ? "identifier" : "none"), "own.yaml");
    }

    private static ClashFindings judge(Scenario scenario, Layout layout) {
        FrameReader reader = new FrameReader(new FrameReader.Options(layout.format().name(), scenario.bitsPerSecond(),
                scenario.recorder().tickPicos(), layout.format(), Double.NaN), 0, new NoticeLog(10));
        Simulations.run(scenario, reader, TruthSink.NONE);
        Decoded decoded = reader.finish();
        assertTrue(decoded.frames().wholeCount() > 100, "only " + decoded.frames().wholeCount());
        return Clashes.judge(decoded.frames(), decoded.bus(), decoded.gaps(),
                Senders.find(decoded.frames(), decoded.bus(), decoded.gaps(), layout), layout);
    }

    private static Sending message(int name, double period, double phase, int... values) {
        List<Field> fields = new ArrayList<>();
        for (int i = 0; i < values.length; i++) fields.add(Field.of(8 * i, 8, new ValueSource.Constant(values[i])));
        return new Sending(name, false, false, values.length, List.of(new Trigger.Cyclic(period, phase, 0)), fields, 0,
                new OnFormat(3, Map.of(), false));
    }

    private static Sending slow(int name, double period, double phase, int first, int second) {
        return message(name, period, phase, first, second, 7).withFields(List.of(
                Field.of(0, 8, new ValueSource.Walk(first, 0.2, 0, 255)), Field.of(8, 8, new ValueSource.Constant(second)),
                Field.of(16, 8, new ValueSource.Constant(7))));
    }

    /**
     * Three nodes; the first sends the message in question.
     *
     * @param second more of the same message, from the second node
     * @param own    more of it, from the first
     * @param wait   a long frame of the third goes ahead of it, so that two that come then start together
     */
    private static Scenario bus(int seed, Layout layout, Sending second, Sending own, boolean wait, boolean readsBack) {
        SplittableRandom random = new SplittableRandom(4_000L + seed);
        List<List<Sending>> sends = new ArrayList<>();
        for (int n = 0; n < 3; n++) {
            sends.add(new ArrayList<>(List.of(slow(0x300 + 16 * n, 0.25, Double.NaN, random.nextInt(256), 90 + n))));
        }
        sends.get(0).add(slow(NAME, 0.1, 0.0131, 200, 16));
        if (own != null) sends.get(0).add(own);
        if (second != null) sends.get(1).add(second);
        if (wait) sends.get(2).add(message(0x010, 0.7, 0.0119, 1, 2, 3, 4, 5, 6, 7));
        List<NodeBehaviour> nodes = new ArrayList<>();
        for (int n = 0; n < 3; n++) {
            double ppm = n == 0 ? 400 * random.nextDouble() : n == 1 ? -100 - 400 * random.nextDouble()
                    : 300 * (2 * random.nextDouble() - 1);
            nodes.add(NodeBehaviour.named("node " + n).withSends(sends.get(n)).withOscillator(Oscillator.of(ppm, 2))
                    .withDelay(new SoftwareDelay(0, 5e-5, 0)).withHabits(Habits.USUAL.withReadBack(readsBack)));
        }
        return Scenario.of(20_000, SECONDS, seed, nodes).withRecorder(RecorderBehaviour.MICROSECOND)
                .onBus(new BusKind(layout.format(), null));
    }

    private static Verdict verdict(ClashFindings findings) {
        for (MessageFinding m : findings.messages()) {
            if (buswitness.frames.MessageKey.identifier(m.key()) == NAME) return m.verdict();
            assertNotEquals(Verdict.TWO_SENDERS, m.verdict(), "another message");
        }
        throw new AssertionError("not seen");
    }

    /**
     * Error flags: two that start together break at the first bit in which they differ behind the name (start bit 1, topic
     * 10, size 3), 200 = 1100 1000 and 40 = 0010 1000, and try again.
     */
    @ParameterizedTest
    @CsvSource({"1", "2", "3", "4"})
    void brokenFramesAreRebuilt(int seed) {
        Layout layout = layout(true);
        ClashFindings findings = judge(bus(seed, layout, slow(NAME, 0.1, 0.0136, 40, 90), null, true, true), layout);
        assertEquals(Verdict.TWO_SENDERS, verdict(findings));
        List<Collision> broken = findings.collisions().stream().filter(c -> c.kind() == Collision.Kind.BROKEN).toList();
        assertFalse(broken.isEmpty());
        for (Collision c : broken) {
            assertTrue(c.breakBit() >= 14 && c.breakBit() < 14 + 8, "bit " + c.breakBit());
            assertEquals(0, c.firstMeant().get(c.breakBit()));
            assertEquals(1, c.secondMeant().get(c.breakBit()));
            assertEquals(0, c.onWire().get(c.breakBit()));
            assertTrue(c.frames().size() >= 2, "tried again: " + c.frames().size());
            assertEquals(0, c.errorCounter(), "nobody counts errors on this bus");
        }
        assertTrue(broken.stream().anyMatch(Collision::conclusive));
    }

    /** Without error flags, where nodes do not read back, the bits lie one over the other. */
    @ParameterizedTest
    @CsvSource({"1", "2", "3", "4"})
    void superposedFramesAreRebuilt(int seed) {
        Layout layout = layout(false);
        ClashFindings findings = judge(bus(seed, layout, slow(NAME, 0.1, 0.0136, 40, 90), null, true, false), layout);
        assertEquals(Verdict.TWO_SENDERS, verdict(findings));
        List<Collision> met = findings.collisions().stream().filter(c -> c.kind() == Collision.Kind.SUPERPOSED).toList();
        assertTrue(met.size() >= 5, "superposed " + met.size());
    }

    /** Without error flags, where nodes read back, the one with the resting bit falls silent and follows: no damage. */
    @Test
    void whereNodesReadBackTheyFollowEachOther() {
        Layout layout = layout(false);
        ClashFindings findings = judge(bus(5, layout, slow(NAME, 0.1, 0.0136, 40, 90), null, true, true), layout);
        assertNotEquals(Verdict.ONE_SENDER, verdict(findings));
        assertTrue(findings.collisions().stream().allMatch(c -> c.kind() == Collision.Kind.IN_TURN));
    }

    /** One sender with several tasks, noise on the line, and a frame whose same bit is hit again and again. */
    @ParameterizedTest
    @CsvSource({"true, nothing", "true, tasks", "true, noise", "true, same bit", "false, nothing", "false, tasks",
        "false, noise", "false, same bit"})
    void theInnocentStayInnocent(boolean flags, String oddity) {
        Layout layout = layout(flags);
        for (int seed = 11; seed <= 13; seed++) {
            Sending own = oddity.equals("tasks") ? slow(NAME, 0.1, 0.0631, 40, 90) : null;
            Scenario scenario = bus(seed, layout, null, own, true, seed % 2 == 0);
            if (oddity.equals("noise")) {
                scenario = scenario.withInterference(List.of(Interference.random(4, 1.2e-4, true)));
            } else if (oddity.equals("same bit")) {
                scenario = scenario.withInterference(List.of(sameBit(scenario, seed)));
            }
            assertNotEquals(Verdict.TWO_SENDERS, verdict(judge(scenario, layout)), oddity + " " + seed);
        }
    }

    /** Forces one bit of every fifth frame of the message dominant, as its truth tells where they lie. */
    private static Interference sameBit(Scenario scenario, int seed) {
        List<Double> at = new ArrayList<>();
        int[] count = new int[1];
        Simulations.run(scenario, new FrameReader(new FrameReader.Options("own-wire", 20_000, 1e6,
                scenario.bus().format(), Double.NaN), 0, new NoticeLog(1)), frame -> {
            boolean asked = frame.whole() && buswitness.frames.MessageKey.identifier(frame.senders().get(0).key()) == NAME;
            if (asked && count[0]++ % 5 == 0) at.add(frame.startPicos() * 1e-12 + (15 + seed % 8 + 0.1) * 50e-6);
        });
        return Interference.at(45e-6, true, at.stream().mapToDouble(Double::doubleValue).toArray());
    }
}
