package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Restarts, interference, bits that are misread, and frames sent on change. */
class TroubleTest {

    private static NodeBehaviour sender(String name, int identifier) {
        return NodeBehaviour.named(name).withSends(List.of(Sending.every(0.02, identifier, 8,
                List.of(Field.of(0, 8, new ValueSource.Constant(0x5A)), Field.of(8, 8, new ValueSource.Constant(0xC3))))));
    }

    private static List<FrameTruth> damaged(WireProbe probe) {
        return probe.frames.stream().filter(f -> !f.whole() && f.endPicos() < probe.endPicos).toList();
    }

    @Test
    void restartLeavesAGapANewPhaseAndStartUpValues() {
        Field field = new Field(Field.of(0, 8, new ValueSource.Constant(0)).signal(), new ValueSource.Constant(77), 255);
        Sending sending = new Sending(0x100, false, false, 1, List.of(new Trigger.Cyclic(0.02, 0.003, 0)),
                List.of(field), 0);
        NodeBehaviour node = NodeBehaviour.named("n").withSends(List.of(sending)).withPower(
                new Power(0, Double.POSITIVE_INFINITY, List.of(new Power.Restart(1.0005, 0.3)), 0.05, 0.1));
        WireProbe probe = WireProbe.of(Buses.bus(2, node, NodeBehaviour.named("listener")));
        assertEquals(List.of("n off", "n boot"), probe.events);
        List<Double> starts = probe.frames.stream().map(f -> f.startPicos() * 1e-12).toList();
        int after = 0;
        while (starts.get(after) < 1.1) after++;
        assertEquals(0.983, starts.get(after - 1), 1e-4);
        assertEquals(1.0005 + 0.3 + 0.05 + 0.003, starts.get(after), 1e-4);
        for (int i = 0; i < starts.size(); i++) {
            boolean starting = i >= after && starts.get(i) < 1.0005 + 0.3 + 0.05 + 0.1;
            assertEquals((byte) (starting ? 255 : 77), probe.frames.get(i).senders().get(0).data()[0], "frame " + i);
        }
    }

    @Test
    void anUnpluggedNodeIsReplaced() {
        WireProbe probe = WireProbe.of(Buses.bus(3,
                sender("old", 0x100).withPower(Power.ALWAYS.within(0, 1)),
                sender("new", 0x100).withPower(Power.ALWAYS.within(1.5, Double.POSITIVE_INFINITY)),
                NodeBehaviour.named("listener")));
        for (FrameTruth frame : probe.frames) {
            assertEquals(frame.startPicos() < 1e12 ? "old" : "new", frame.senders().get(0).node());
        }
        assertTrue(probe.frames.size() > 100);
    }

    /** Power that goes in the middle of a frame leaves a torn frame, and the bus goes on. */
    @Test
    void aSenderThatDiesInItsFrameTearsIt() {
        Sending sending = Buses.message(0x100, Buses.hex("5AC3000000000000"), 0.01);
        WireProbe probe = WireProbe.of(Buses.bus(0.1, NodeBehaviour.named("n").withSends(List.of(sending))
                .withPower(Power.ALWAYS.within(0, 0.0103)), sender("other", 0x200), NodeBehaviour.named("listener")));
        FrameTruth torn = probe.frames.stream().filter(f -> !f.whole()).findFirst().orElseThrow();
        // 0.3 ms is bit 37; six equal bits later the others raise their flags; six and up to six more, then eight.
        double bits = (torn.endPicos() - torn.startPicos()) / Buses.BIT;
        assertTrue(bits > 37 + 6 + 6 + 8 - 6 && bits <= 37 + 6 + 12 + 8 + 1, "torn frame of " + bits + " bits");
        assertTrue(probe.frames.get(probe.frames.size() - 1).whole());
    }

    @Test
    void interferenceDamagesFramesOfAllKinds() {
        Scenario calm = Buses.bus(20, sender("a", 0x100), sender("b", 0x200), sender("c", 0x300));
        assertTrue(damaged(WireProbe.of(calm)).isEmpty());
        for (boolean dominant : new boolean[] {true, false}) {
            WireProbe probe = WireProbe.of(calm.withInterference(List.of(Interference.random(20, 4e-5, dominant))));
            Set<Long> hit = new TreeSet<>();
            Set<Integer> bits = new TreeSet<>();
            for (FrameTruth frame : damaged(probe)) {
                for (FrameTruth.Sender s : frame.senders()) {
                    hit.add(MessageKey.identifier(s.key()));
                    bits.add(s.brokeAtBit());
                }
            }
            assertEquals(3, hit.size(), "dominant " + dominant);
            assertTrue(bits.size() > 10, "only " + bits.size() + " positions");
            // Everything released is sent in the end: 3 nodes, 20 s, 50 a second.
            assertEquals(3000, probe.frames.stream().filter(FrameTruth::whole).count(), 6);
        }
    }

    /** On an idle bus a dominant burst is a start bit without a sender: six recessive bits, then flags. */
    @Test
    void aBurstOnAnIdleBusIsAStartBitWithoutSender() {
        Scenario scenario = Buses.bus(0.01, NodeBehaviour.named("a"), NodeBehaviour.named("b"))
                .withInterference(List.of(Interference.at(7e-6, true, 0.002), Interference.at(5e-6, true, 0.005)));
        WireProbe probe = WireProbe.of(scenario);
        assertEquals(1, probe.frames.size());
        assertTrue(probe.frames.get(0).senders().isEmpty());
        assertFalse(probe.frames.get(0).whole());
        assertEquals("0" + "111111" + "000000" + "11111111111", probe.bits(2_000_000_000L, Buses.BIT, 24));
        // The shorter one ends before the sample point and is only a pulse on the wire.
        assertEquals(2 + 2 + 2, probe.edgeCount());
    }

    /** The marginal bit of a lone sender breaks the same bit again and again, and takes it to bus-off (rules 3, 10). */
    @Test
    void aMarginalBitBreaksTheSameBitAgainAndAgain() {
        for (Misreading.Kind kind : List.of(Misreading.Kind.SENDER, Misreading.Kind.SLOW_EDGE)) {
            // Bit 20 is recessive (0x5A = 01011010 from bit 19 on) and follows a dominant one.
            Scenario scenario = Buses.bus(0.5, sender("n", 0x100).withBusOffReturn(Double.POSITIVE_INFINITY),
                    NodeBehaviour.named("listener")).withMisreadings(List.of(
                            new Misreading("n", MessageKey.can(0x100, false), 20, 1, kind)));
            WireProbe probe = WireProbe.of(scenario);
            assertEquals(32, probe.frames.size());
            for (int i = 0; i < 32; i++) {
                FrameTruth.Sender sender = probe.frames.get(i).senders().get(0);
                assertEquals(20, sender.brokeAtBit());
                assertEquals(8 * (i + 1), sender.transmitErrors());
            }
            assertEquals(List.of("n bus-off"), probe.events);
        }
    }

    /** A receiver with a bad sample point: rule 1 and 2 take it passive, and then it disturbs nobody. */
    @Test
    void aBadReceiverEndsPassive() {
        Scenario scenario = Buses.bus(2, sender("n", 0x100), NodeBehaviour.named("bad"), NodeBehaviour.named("good"))
                .withMisreadings(List.of(new Misreading("bad", MessageKey.can(0x100, false), 20, 1,
                        Misreading.Kind.RECEIVER)));
        WireProbe probe = WireProbe.of(scenario);
        List<FrameTruth> broken = damaged(probe);
        // 1 + 8 an attempt while its flag is seen by others: passive at 128 or more after 15.
        assertEquals(15, broken.size());
        assertEquals(100, probe.frames.stream().filter(FrameTruth::whole).count(), 1);
    }

    @Test
    void onChangeFramesComeBesideTheTimerAndTheirValueStays() {
        ValueSource steps = new ValueSource.Points(new double[] {0, 0.5031, 1.2377}, new double[] {1, 2, 3}, true);
        Sending sending = new Sending(0x100, false, false, 2,
                List.of(new Trigger.Cyclic(0.1, 0, 0), new Trigger.OnChange(0.01, true, 0)),
                List.of(Field.of(0, 8, steps), Field.of(8, 8, new ValueSource.Counter(256, 1))), 0);
        WireProbe probe = WireProbe.of(Buses.bus(2, Buses.node("n", sending), NodeBehaviour.named("listener")));
        assertEquals(20 + 2, probe.frames.size());
        List<Long> extra = new ArrayList<>();
        int last = 0;
        for (int i = 0; i < probe.frames.size(); i++) {
            byte[] data = probe.frames.get(i).senders().get(0).data();
            assertEquals(i, data[1]);
            assertTrue(data[0] >= last);
            last = data[0];
            double at = probe.frames.get(i).startPicos() * 1e-12;
            if (Math.abs(at - Math.rint(at * 10) / 10) > 1e-3) extra.add(Math.round(at * 1000));
        }
        assertEquals(List.of(510L, 1240L), extra);
    }

    @Test
    void pagesCountersAndChecks() {
        var page = new buswitness.schema.Signal.Page(0, 8, 1);
        var onPage = new buswitness.schema.Signal("p", 8, 8, false, false, 1, 0, "", Double.NaN, page);
        Sending sending = Sending.every(0.01, 0x100, 4, List.of(
                Field.of(0, 8, new ValueSource.Pages(new long[] {0, 1, 5})), Field.of(onPage, new ValueSource.Constant(9)),
                Field.of(16, 8, new ValueSource.Counter(7, 2)), Field.of(24, 8, new ValueSource.Check(false, 0x30))));
        WireProbe probe = WireProbe.of(Buses.bus(1, Buses.node("n", sending), NodeBehaviour.named("listener")));
        for (int i = 0; i < 90; i++) {
            byte[] data = probe.frames.get(i).senders().get(0).data();
            assertEquals(new int[] {0, 1, 5}[i % 3], data[0]);
            assertEquals(data[0] == 1 ? 9 : 0, data[1]);
            assertEquals(2 * i % 7, data[2]);
            assertEquals(0x30, data[0] ^ data[1] ^ data[2] ^ data[3]);
        }
    }
}
