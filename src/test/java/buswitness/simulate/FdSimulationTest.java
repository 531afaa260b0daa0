package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FdFrameBits;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** CAN FD on the simulated wire: framing, rates, and what nodes do when two of them send one message at once. */
class FdSimulationTest {
    private static final double NOMINAL = 500_000;
    private static final double BIT = 2e6;
    private static final double DATA_BIT = 0.5e6;

    private static Scenario bus(double seconds, NodeBehaviour... nodes) {
        return Scenario.of(NOMINAL, seconds, 1, List.of(nodes)).onBus(BusKind.canFd(2_000_000))
                .withRecorder(RecorderBehaviour.MICROSECOND.withTick(1));
    }

    private static Sending message(int identifier, FrameKind kind, byte[] data, double... at) {
        return new Sending(identifier, false, false, data.length, List.of(new Trigger.AtTimes(at)), Buses.fixed(data), 0)
                .in(kind);
    }

    /**
     * Stuffing inputs of ISO 16845-1, 8.1.6 (identifier, BRS, payload; quoted in an open conformance test, seen there).
     * Stuff counts, checks and wire bits were computed from the rules of ISO 11898-1:2015; they are not published values.
     */
    @ParameterizedTest
    @CsvSource({
        "7C3, FD, C3C3C3, 0111110000011100100000111110000011111000001111100000111000110111010101010110100100",
        "1F0, FD_SWITCHED, F0, 000111110000010010100001111100000101010101011101011101111100",
        "000, FD_SWITCHED, '', 000001000001000010100000101101100101100110001101101",
    })
    void stuffingInputs(String identifier, FrameKind kind, String data, String wire) {
        byte[] bytes = Buses.hex(data);
        Sending sending = message(Integer.parseInt(identifier, 16), kind, bytes, 1e-3);
        FdFrameBits bits = FdFrameBits.of(sending.identifier(), false, kind.switchesRate(), false, bytes);
        assertEquals(wire, bits.wire().toString());
        assertEquals(wire + "1011111111", onWire(sending, bits));
    }

    /** The tenth of those inputs: an error passive sender (ESI recessive). */
    @Test
    void passiveSender() {
        assertEquals("011111011111010010110000101101110010011001101010010",
                FdFrameBits.of(0x7FF, false, true, true, new byte[0]).wire().toString());
    }

    /** The long inputs of the same source: stuff bits, stuff count and check; computed as above. */
    @ParameterizedTest
    @CsvSource({"078, false, true, F8, 78, 48, 98, 0110, 0A03B8", "41E, true, true, 1E, 1E, 48, 99, 0101, 02144B",
        "20F, true, false, 0F, 0F, 64, 130, 0110, 0CECDE", "107, false, false, 87, 87, 64, 129, 0011, 16268C"})
    void longStuffingInputs(String identifier, boolean passive, boolean switched, String first, String next, int bytes,
                            int stuffBits, String count, String crc) {
        byte[] data = new byte[bytes];
        Arrays.fill(data, (byte) Integer.parseInt(next, 16));
        data[0] = (byte) Integer.parseInt(first, 16);
        FdFrameBits bits = FdFrameBits.of(Integer.parseInt(identifier, 16), false, switched, passive, data);
        assertEquals(stuffBits, bits.checkAt() - bits.plainCheck());
        String plain = bits.plain().toString();
        assertEquals(count, plain.substring(bits.plainCheck(), bits.plainCheck() + 4));
        assertEquals(Integer.parseInt(crc, 16), Integer.parseInt(plain.substring(bits.plainCheck() + 4), 2));
    }

    /** The whole frame, each bit sampled in its middle by a ruler of its own. */
    private static String onWire(Sending sending, FdFrameBits bits) {
        WireProbe probe = WireProbe.of(bus(0.01, Buses.node("sender", sending), Buses.node("listener")));
        assertEquals(1, probe.frames.size());
        FrameTruth truth = probe.frames.get(0);
        assertTrue(truth.whole());
        StringBuilder out = new StringBuilder();
        double at = truth.startPicos();
        for (int i = 0; i < bits.wire().size() + 10; i++) {
            boolean up = bits.switchAt() >= 0 && i > bits.switchAt() && i < bits.wire().size();
            double length = up ? DATA_BIT : BIT;
            if (i == bits.switchAt()) length = 0.8 * BIT + 0.2 * DATA_BIT;
            if (bits.switchAt() >= 0 && i == bits.wire().size()) length = 0.8 * DATA_BIT + 0.2 * BIT;
            out.append(probe.bits(Math.round(at), length, 1));
            at += length;
        }
        assertEquals(truth.endPicos(), at, 1e3);
        return out.toString();
    }

    /** Classical traffic with trouble on a CAN FD bus looks as it does on a classical one. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6})
    void classicalFramesAsOnAClassicalBus(long seed) {
        Scenario classical = busy(seed, 0);
        Scenario flexible = classical.onBus(BusKind.canFd(2_000_000).sampledAt(BusEngine.SAMPLE_POINT));
        WireProbe expected = WireProbe.slowly(classical);
        WireProbe probe = WireProbe.slowly(flexible);
        assertTrue(expected.frames.size() > 300);
        FastLaneTest.assertSameTruth(expected, probe);
        assertEquals(expected.edgeCount(), probe.edgeCount());
        for (int i = 0; i < expected.edgeCount(); i++) assertEquals(expected.edge(i), probe.edge(i), "edge " + i);
    }

    /** The short cut for undisturbed frames gives the very edges and the very truth of the bit-by-bit bus. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
    void shortCutAndBitByBitAgree(long seed) {
        Scenario scenario = busy(seed, 0.7).onBus(BusKind.canFd(seed % 2 == 0 ? 2_000_000 : 5_000_000));
        WireProbe fast = WireProbe.of(scenario);
        WireProbe slow = WireProbe.slowly(scenario);
        assertTrue(fast.frames.size() > 300, "only " + fast.frames.size());
        FastLaneTest.assertSameTruth(slow, fast);
        assertEquals(slow.edgeCount(), fast.edgeCount());
        for (int i = 0; i < slow.edgeCount(); i++) assertEquals(slow.edge(i), fast.edge(i), "edge " + i);
    }

    private static Scenario busy(long seed, double flexibleShare) {
        SplittableRandom random = new SplittableRandom(seed);
        int[] lengths = {0, 1, 3, 8, 12, 16, 20, 24, 32, 48, 64};
        List<NodeBehaviour> nodes = new ArrayList<>();
        for (int n = 0; n < 5; n++) {
            List<Sending> sends = new ArrayList<>();
            for (int m = 0; m < 5; m++) {
                int identifier = random.nextInt(4) == 0 ? 0x200 : 0x100 + random.nextInt(0x200);
                FrameKind kind = random.nextDouble() >= flexibleShare ? FrameKind.CLASSICAL
                        : random.nextInt(4) == 0 ? FrameKind.FD : FrameKind.FD_SWITCHED;
                int length = kind == FrameKind.CLASSICAL ? random.nextInt(9) : lengths[random.nextInt(lengths.length)];
                List<Field> fields = length == 0 ? List.of() : List.of(Field.of(0, 8,
                        new buswitness.simulate.ValueSource.Walk(random.nextInt(256), 20, 0, 255)));
                sends.add(new Sending(identifier, false, false, length,
                        List.of(new Trigger.Cyclic(0.01 + 0.04 * random.nextDouble(), Double.NaN, 0)), fields, 0, null,
                        kind));
            }
            NodeBehaviour node = NodeBehaviour.named("n" + n).withSends(sends)
                    .withOscillator(Oscillator.of(200 * random.nextDouble() - 100, 3))
                    .withDelay(new SoftwareDelay(1e-5, 1e-4, 5e-5))
                    .withDrive(new Drive(100 * random.nextDouble() - 50, 200 * random.nextDouble(), 0, 50, 0.5));
            if (n == 2) {
                node = node.withPower(Power.ALWAYS.withRestarts(List.of(new Power.Restart(0.7, 0.2),
                        new Power.Restart(1.4013, 0.1))));
            }
            nodes.add(node);
        }
        return Scenario.of(NOMINAL, 2, seed, nodes)
                .withInterference(List.of(Interference.random(3, 7e-6, true), Interference.random(2, 5e-6, false)))
                .withMisreadings(List.of(new Misreading("n1", Misreading.ANY_MESSAGE, Misreading.ANY_BIT, 0.01,
                        Misreading.Kind.RECEIVER)))
                .withRecorder(RecorderBehaviour.MICROSECOND.withTick(1));
    }

    /**
     * Two senders of one identifier, different bytes, one release: 16 broken frames (128 / 8; Bosch 2012, clause 7), then
     * the loser's flag is passive and both get through. At the data rate as at the nominal one.
     */
    @ParameterizedTest
    @CsvSource({"FD_SWITCHED, 00FF55AA, 00FF45AA, 41", "FD_SWITCHED, 00FF55AA00FF55AA, 00FF55AA, 18", "FD, 0102, 0103, 37"})
    void sixteenCollisions(FrameKind kind, String first, String second, int bit) {
        Scenario scenario = bus(0.05, Buses.node("a", message(0x123, kind, Buses.hex(first), 1e-3)),
                Buses.node("b", message(0x123, kind, Buses.hex(second), 1e-3)), NodeBehaviour.named("listener"));
        WireProbe probe = WireProbe.of(scenario);
        List<FrameTruth> broken = probe.frames.stream().filter(f -> !f.whole()).toList();
        assertTrue(broken.size() >= 16, "broken " + broken.size());
        for (FrameTruth frame : broken.subList(0, 16)) {
            assertEquals(2, frame.senders().size());
            assertTrue(frame.senders().stream().anyMatch(s -> s.brokeAtBit() == bit), frame.toString());
        }
        List<FrameTruth> whole = probe.frames.stream().filter(FrameTruth::whole).toList();
        assertEquals(2, whole.size());
        assertTrue(!Arrays.equals(whole.get(0).senders().get(0).data(), whole.get(1).senders().get(0).data()));
    }

    /** Six dominant bits of the nominal rate from the first flag on, and those of the others soon after. */
    @Test
    void theFlagGoesAtTheNominalRate() {
        Scenario scenario = bus(0.05, Buses.node("a", message(0x123, FrameKind.FD_SWITCHED, Buses.hex("00FF55AA"), 1e-3)),
                Buses.node("b", message(0x123, FrameKind.FD_SWITCHED, Buses.hex("00FF45AA"), 1e-3)),
                NodeBehaviour.named("listener"));
        WireProbe probe = WireProbe.of(scenario);
        FdFrameBits bits = FdFrameBits.of(0x123, false, true, false, Buses.hex("00FF45AA"));
        FrameTruth frame = probe.frames.get(0);
        long longest = 0;
        for (int i = 0; i + 1 < probe.edgeCount() && probe.edge(i) < frame.endPicos(); i++) {
            boolean dominant = probe.bits(probe.edge(i) + 1, 2, 1).equals("0");
            if (dominant) longest = Math.max(longest, probe.edge(i + 1) - probe.edge(i));
        }
        double flags = longest / BIT;
        assertTrue(flags >= 6 && flags <= 6 + 7 / 4.0 + 0.5, "flags of " + flags + " bits");
        assertTrue(bits.switchAt() > 0);
    }

    /** Where nodes go back to the nominal rate within the wrong bit, the rest of it lasts as long as at that rate. */
    @Test
    void flagsOfNodesThatGoBackAtOnceComeLater() {
        double[] flagAt = new double[2];
        for (int early = 0; early < 2; early++) {
            Scenario scenario = bus(0.05, Buses.node("a", message(0x123, FrameKind.FD_SWITCHED, Buses.hex("00FF55AA"), 1e-3)),
                    Buses.node("b", message(0x123, FrameKind.FD_SWITCHED, Buses.hex("00FF45AA"), 1e-3)),
                    NodeBehaviour.named("listener"));
            WireProbe probe = WireProbe.of(scenario.onBus(scenario.bus().slowAtOnce(early == 1)));
            FrameTruth frame = probe.frames.get(0);
            for (int i = 0; i + 1 < probe.edgeCount() && probe.edge(i) < frame.endPicos(); i++) {
                if (probe.edge(i + 1) - probe.edge(i) >= 6 * BIT && probe.levelAfter(i) == 0) flagAt[early] = probe.edge(i + 1);
            }
            assertEquals(16, probe.frames.stream().filter(f -> !f.whole() && f.senders().size() == 2).limit(16).count());
        }
        assertTrue(flagAt[1] > flagAt[0], flagAt[0] + " and " + flagAt[1]);
        assertTrue(flagAt[1] - flagAt[0] <= 0.5 * BIT, flagAt[0] + " and " + flagAt[1]);
    }

    /** An error passive node says so in its frames: the bit behind BRS is recessive (ISO 11898-1:2015). */
    @Test
    void errorStateShows() {
        byte[] data = Buses.hex("11223344");
        Sending sending = message(0x123, FrameKind.FD_SWITCHED, data, 1e-3, 0.02);
        Scenario scenario = bus(0.05, Buses.node("a", sending), NodeBehaviour.named("listener"))
                .withMisreadings(List.of(new Misreading("a", sending.key(), 45, 1, Misreading.Kind.SENDER)));
        WireProbe probe = WireProbe.of(scenario);
        // It breaks its own frame until it is passive, and then its flag disturbs nobody but itself.
        assertTrue(probe.frames.size() >= 17);
        assertTrue(probe.frames.get(16).senders().get(0).transmitErrors() >= 128);
        FdFrameBits passive = FdFrameBits.of(0x123, false, true, true, data);
        FrameTruth later = probe.frames.get(17);
        int esi = passive.switchAt() + 1;
        double at = later.startPicos() + (passive.switchAt() + 0.8) * BIT + 0.2 * DATA_BIT;
        assertEquals("1", probe.bits(Math.round(at), DATA_BIT, 1), "bit " + esi);
        assertArrayEquals(data, later.senders().get(0).data());
    }
}
