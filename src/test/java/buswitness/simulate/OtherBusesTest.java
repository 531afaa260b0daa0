package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.BitString;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** What the simulator puts on buses other than CAN, edge by edge, and what happens where two nodes send at once. */
class OtherBusesTest {
    private static final BusFormat VPW = BusFormats.builtIn("j1850-vpw");
    private static final BusFormat LIN = BusFormats.builtIn("lin");

    private static Scenario on(BusFormat format, double seconds, SlotTable slots, NodeBehaviour... nodes) {
        return Scenario.of(format.line() instanceof buswitness.schema.LineFormat.Bytes && slots != null ? 10_000
                : format.bitsPerSecond(), seconds, 1, List.of(nodes))
                .withRecorder(RecorderBehaviour.MICROSECOND.withTick(1)
                        .withIdleLevel(Math.max(0, format.line().idleLevel())))
                .onBus(new BusKind(format, slots));
    }

    private static Sending sending(BusFormat format, int name, String data, Map<String, Long> fields, double... at) {
        byte[] bytes = Buses.hex(data);
        return new Sending(name, false, false, bytes.length, List.of(new Trigger.AtTimes(at)), Buses.fixed(bytes), 0,
                new OnFormat(format.nameDigits(), fields, true));
    }

    private static Oscillator ppm(double ppm) {
        return Oscillator.of(ppm, 0);
    }

    /** Lengths of the levels in microseconds, active ones with A. */
    private static List<String> pulses(WireProbe probe, int from, int count) {
        List<String> out = new ArrayList<>();
        for (int i = from; i < from + count; i++) {
            long length = Math.round((probe.edge(i + 1) - probe.edge(i)) * 1e-6);
            out.add((probe.levelAfter(i) != probe.idle ? "A" : "P") + length);
        }
        return out;
    }

    /**
     * Nominal symbols of SAE J1850 (values seen in controller data sheets). A trace measured on a real bus of this very
     * frame begins A200 P61 A63 P126 A127 P126 A127 P62 A127.
     */
    @Test
    void variablePulsesOfAPublishedFrame() {
        WireProbe probe = WireProbe.of(on(VPW, 0.1, null,
                Buses.node("a", sending(VPW, 0x686AF1, "0100", Map.of(), 0.01))));
        assertEquals(List.of("A200", "P64", "A64", "P128", "A128", "P128", "A128", "P64", "A128"),
                pulses(probe, 0, 9));
        assertEquals(50, probe.edgeCount());
        // 48 bits and a start of frame: 4744 us (computed).
        assertEquals(4744e6, probe.edge(probe.edgeCount() - 1) - probe.edge(0), 1e3);
        assertTrue(probe.frames.get(0).whole());
    }

    /** The lower byte string goes through unharmed, the other follows after the rest of 300 us. */
    @Test
    void variablePulsesArbitrateThroughTheWholeFrame() {
        WireProbe probe = WireProbe.of(on(VPW, 0.1, null,
                Buses.node("high", sending(VPW, 0x686AF1, "0180", Map.of(), 0.01)).withOscillator(ppm(4000)),
                Buses.node("low", sending(VPW, 0x686AF1, "0100", Map.of(), 0.01)).withOscillator(ppm(-3000))));
        assertEquals(2, probe.frames.size());
        assertEquals("low", probe.frames.get(0).senders().get(0).node());
        assertEquals("high", probe.frames.get(1).senders().get(0).node());
        assertEquals(1, probe.frames.get(0).senders().size());
        assertEquals(0, probe.frames.get(1).senders().get(0).attempt());
        // Both frames are whole on the wire: 49 symbols each.
        assertEquals(100, probe.edgeCount());
        // The last symbols of each frame are those of its own clock.
        long lastLow = probe.edge(49) - probe.edge(48);
        long lastHigh = probe.edge(99) - probe.edge(98);
        double low = 128e6 * (1 - 0.003);
        double high = 128e6 * (1 + 0.004);
        assertTrue(Math.abs(lastLow - low) < 1e3 || Math.abs(lastLow - low / 2) < 1e3, "low " + lastLow);
        assertTrue(Math.abs(lastHigh - high) < 1e3 || Math.abs(lastHigh - high / 2) < 1e3, "high " + lastHigh);
    }

    @Test
    void equalFramesMergeOnPulses() {
        WireProbe probe = WireProbe.of(on(VPW, 0.1, null,
                Buses.node("a", sending(VPW, 0x686AF1, "0100", Map.of(), 0.01)).withOscillator(ppm(4000)),
                Buses.node("b", sending(VPW, 0x686AF1, "0100", Map.of(), 0.01))));
        assertEquals(1, probe.frames.size());
        assertTrue(probe.frames.get(0).merged());
        // Active levels last as long as the slower clock's, rests as long as the faster one's (plus the loop delay).
        assertEquals(200e6 * 1.004, probe.edge(1) - probe.edge(0), 200e3);
        assertEquals(64e6, probe.edge(2) - probe.edge(1), 200e3);
    }

    @Test
    void pulseWidthArbitratesAndReplies() {
        BusFormat pwm = BusFormats.builtIn("j1850-pwm");
        Sending asks = sending(pwm, 0x616AF1, "0100", Map.of(), 0.01);
        NodeBehaviour replies = Buses.node("c").withHabits(Habits.USUAL.withAnswers(
                List.of(new Habits.Answer(asks.key(), Buses.hex("10")))));
        WireProbe probe = WireProbe.of(on(pwm, 0.1, null, Buses.node("a", asks),
                Buses.node("b", sending(pwm, 0x686AF1, "0100", Map.of(), 0.01)), replies));
        assertEquals(List.of("A31", "P17", "A15", "P9", "A7", "P17", "A7", "P17"), pulses(probe, 0, 8));
        assertEquals(2, probe.frames.size());
        assertEquals("a", probe.frames.get(0).senders().get(0).node());
        // 48 bits of the frame, then after 48 us from the last bit's edge 16 bits of the reply and its check.
        assertEquals(2 * (1 + 48 + 16) + 2 * (1 + 48), probe.edgeCount());
        assertEquals(48e6, probe.edge(2 * 49) - probe.edge(2 * 48), 300e3);
    }

    private static Sending answer(int id, String data) {
        byte[] bytes = Buses.hex(data);
        return new Sending(id, false, false, bytes.length, List.of(), Buses.fixed(bytes), 0,
                new OnFormat(2, Map.of(), true));
    }

    private static SlotTable slots(int id) {
        return new SlotTable("master", List.of(new SlotTable.Slot(answer(id, "").key(), 0.05)));
    }

    /** Break of 13 bits, delimiter, 55, protected identifier 50, then the worked example of LIN 2.2A, 2.8.3. */
    @Test
    void headerAndAnswerOfLin() {
        WireProbe probe = WireProbe.of(on(LIN, 0.04, slots(0x10), Buses.node("master"),
                Buses.node("slave", answer(0x10, "4A5593E5"))));
        String bits = probe.bits(0, 1e8, 84);
        StringBuilder meant = new StringBuilder("0".repeat(13) + "1");
        for (int value : new int[] {0x55, 0x50, 0x4A, 0x55, 0x93, 0xE5, 0xE6}) {
            meant.append('0');
            for (int n = 0; n < 8; n++) meant.append(value >>> n & 1);
            meant.append('1');
        }
        assertEquals(meant.toString(), bits);
        assertEquals("slave", probe.frames.get(0).senders().get(0).node());
    }

    /** Two answers lie one over the other; who reads back falls silent after the byte in which it lost. */
    @Test
    void twoAnswersAreSuperposed() {
        // 3C and 5A differ both ways: 3C & 5A = 18, and both notice.
        WireProbe both = WireProbe.of(on(LIN, 0.04, slots(0x10), Buses.node("master"),
                Buses.node("one", answer(0x10, "013C77")), Buses.node("two", answer(0x10, "015A66"))));
        assertFalse(both.frames.get(0).whole());
        assertEquals("0000110001", both.bits(34 * 100_000_000L + 10 * 100_000_000L, 1e8, 10));
        assertEquals("1111111111", both.bits(54 * 100_000_000L, 1e8, 10));
        // 10 lies below 30: only the node that sends 30 notices, the other's answer is unharmed.
        WireProbe one = WireProbe.of(on(LIN, 0.04, slots(0x10), Buses.node("master"),
                Buses.node("one", answer(0x10, "1077")), Buses.node("two", answer(0x10, "3066"))));
        assertTrue(one.frames.get(0).whole());
        assertEquals(List.of(true, false), one.frames.get(0).senders().stream()
                .map(FrameTruth.Sender::completed).toList());
        // Nodes that do not read back spoil each other to the end.
        Habits deaf = Habits.USUAL.withReadBack(false);
        WireProbe neither = WireProbe.of(on(LIN, 0.04, slots(0x10), Buses.node("master"),
                Buses.node("one", answer(0x10, "013C77")).withHabits(deaf),
                Buses.node("two", answer(0x10, "015A66")).withHabits(deaf)));
        assertFalse(neither.frames.get(0).whole());
        int third = 0x77 & 0x66;
        StringBuilder meant = new StringBuilder("0");
        for (int n = 0; n < 8; n++) meant.append(third >>> n & 1);
        assertEquals(meant + "1", neither.bits(54 * 100_000_000L, 1e8, 10));
    }

    /** The bits an own stuffed bus shows: whole-frame arbitration, no damage, the loser after the rest. */
    @Test
    void ownStuffedBusArbitratesThroughTheBody() {
        Scenario scenario = ScenarioReader.parse("""
                layout: comfort-wire.layout.yaml
                duration: 1 s
                nodes:
                  gauge translator:
                    {number: 4, clock: 0 ppm, sends: {engine warmth: {at: [0.1 s]}}, silent: [fuel state]}
                  spare:
                    {number: 4, clock: 0 ppm, sends: {engine warmth: {at: [0.1 s], values: {engine speed: 64}}}}
                recorder: {tick: 1 ns}
                """, "test", Path.of("captures"));
        WireProbe probe = WireProbe.of(scenario);
        assertEquals(2, probe.frames.size());
        assertEquals("gauge translator", probe.frames.get(0).senders().get(0).node());
        assertEquals("spare", probe.frames.get(1).senders().get(0).node());
        Sending sending = scenario.nodes().get(0).sends().get(0);
        BitString wire = FormatFrame.of(scenario.bus().format(), sending, new byte[3])
                .stuffed();
        assertEquals(wire.toString(), probe.bits(probe.frames.get(0).startPicos(), 1e8, wire.size()));
        String text = wire.toString();
        assertFalse(text.contains("00000") || text.contains("11111"), "stuffed after four: " + text);
        // Six end bits and five rest bits between them.
        long gap = probe.frames.get(1).startPicos() - probe.frames.get(0).startPicos();
        assertEquals((wire.size() + 11) * 1e8, gap, 1e6);
    }

    /** A timer's jitter may bring its first frame before the recording; taken for one broken off, it came for ever. */
    @Test
    void aFrameBegunBeforeTheRecordingIsOver() {
        for (String name : List.of("j1850-pwm", "j1850-vpw")) {
            BusFormat format = BusFormats.builtIn(name);
            int frame = WireProbe.of(on(format, 0.1, null,
                    Buses.node("a", sending(format, 0x686AF1, "0100", Map.of(), 0.05)))).edgeCount();
            for (int seed = 1; seed <= 8; seed++) {
                Sending jitters = new Sending(0x686AF1, false, false, 2, List.of(new Trigger.Cyclic(0.05, 0, 0.002)),
                        Buses.fixed(Buses.hex("0100")), 0, new OnFormat(format.nameDigits(), Map.of(), true));
                Scenario one = Scenario.of(format.bitsPerSecond(), 0.1, seed, List.of(Buses.node("a", jitters)));
                RecorderBehaviour recorder = RecorderBehaviour.MICROSECOND.withIdleLevel(
                        Math.max(0, format.line().idleLevel()));
                int edges = WireProbe.of(one.withRecorder(recorder).onBus(new BusKind(format, null))).edgeCount();
                assertTrue(edges >= frame && edges <= 3 * frame, name + " " + seed + ": " + edges);
            }
        }
    }
}
