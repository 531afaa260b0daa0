package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The short cut for undisturbed frames gives the very edges and the very truth of the bit-by-bit bus. */
class FastLaneTest {

    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
    void sameEdgesAndSameTruth(long seed) {
        Scenario scenario = busy(seed);
        WireProbe fast = WireProbe.of(scenario);
        WireProbe slow = WireProbe.slowly(scenario);
        assertTrue(fast.frames.size() > 300, "only " + fast.frames.size());
        assertSameTruth(slow, fast);
        assertEquals(slow.edgeCount(), fast.edgeCount());
        for (int i = 0; i < slow.edgeCount(); i++) assertEquals(slow.edge(i), fast.edge(i), "edge " + i);
        assertEquals(slow.events, fast.events);
    }

    /** Releases a sixteenth of a bit apart, by clocks that stray far between frames: who takes part is the same. */
    @Test
    void sameContendersAroundTheStartBit() {
        double[] first = new double[200];
        double[] second = new double[200];
        for (int i = 0; i < 200; i++) {
            first[i] = 0.01 * (i + 1) + 1.37e-6 * i;
            second[i] = first[i] + (i - 100) / 16.0 * 8e-6 / 4;
        }
        Scenario scenario = Buses.bus(2.2,
                Buses.node("a", Buses.message(0x120, Buses.hex("55"), first)).withOscillator(Oscillator.of(900, 5)),
                Buses.node("b", Buses.message(0x110, Buses.hex("AA"), second)).withOscillator(Oscillator.of(-700, 5)),
                NodeBehaviour.named("listener"));
        WireProbe fast = WireProbe.of(scenario);
        WireProbe slow = WireProbe.slowly(scenario);
        assertEquals(400, fast.frames.size());
        assertEquals(slow.frames.stream().map(FastLaneTest::text).toList(),
                fast.frames.stream().map(FastLaneTest::text).toList());
        assertEquals(slow.fingerprint(), fast.fingerprint());
    }

    static void assertSameTruth(WireProbe expected, WireProbe got) {
        for (int i = 0; i < Math.min(expected.frames.size(), got.frames.size()); i++) {
            assertEquals(text(expected.frames.get(i)), text(got.frames.get(i)), "frame " + i);
        }
        assertEquals(expected.frames.size(), got.frames.size());
    }

    private static String text(FrameTruth frame) {
        StringBuilder text = new StringBuilder();
        text.append(frame.startPicos()).append(' ').append(frame.endPicos()).append(' ').append(frame.whole());
        for (FrameTruth.Sender s : frame.senders()) {
            text.append(' ').append(s.node()).append(Long.toHexString(s.key())).append(s.completed()).append(s.attempt())
                    .append('/').append(s.brokeAtBit()).append('/').append(s.transmitErrors());
        }
        return text.toString();
    }

    private static Scenario busy(long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<NodeBehaviour> nodes = new ArrayList<>();
        for (int n = 0; n < 5; n++) {
            List<Sending> sends = new ArrayList<>();
            for (int m = 0; m < 5; m++) {
                int identifier = random.nextInt(4) == 0 ? 0x200 : 0x100 + random.nextInt(0x200);
                int length = random.nextInt(9);
                List<Field> fields = length == 0 ? List.of() : List.of(Field.of(0, 8,
                        new buswitness.simulate.ValueSource.Walk(random.nextInt(256), 20, 0, 255)));
                sends.add(Sending.every(0.01 + 0.04 * random.nextDouble(), identifier, length, fields));
            }
            NodeBehaviour node = NodeBehaviour.named("n" + n).withSends(sends)
                    .withOscillator(Oscillator.of(200 * random.nextDouble() - 100, 3))
                    .withDelay(new SoftwareDelay(1e-5, 1e-4, 5e-5))
                    .withDrive(new Drive(400 * random.nextDouble() - 200, 300 * random.nextDouble(), n % 2 * 2, 50, 0.5));
            if (n == 2) {
                node = node.withPower(Power.ALWAYS.withRestarts(List.of(new Power.Restart(0.7, 0.2),
                        new Power.Restart(1.4013, 0.1))));
            }
            nodes.add(node);
        }
        return Scenario.of(125_000, 2, seed, nodes)
                .withInterference(List.of(Interference.random(3, 3e-5, true), Interference.random(2, 2e-5, false)))
                .withMisreadings(List.of(new Misreading("n1", Misreading.ANY_MESSAGE, Misreading.ANY_BIT, 0.01,
                        Misreading.Kind.RECEIVER)))
                .withRecorder(RecorderBehaviour.MICROSECOND.withTick(1));
    }
}
