package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * Error flags and counters on the simulated wire against Bosch, "CAN with Flexible Data-Rate", 1.0, 2012, clauses 3.2
 * and 7 (which hold the classical rules). Every number here is worked out from the rules named beside it.
 */
class FaultConfinementTest {
    /** Frames of both part at data bit 4: 0x55 sends 0 where 0x5D sends 1. Start 1, identifier 11, RTR, IDE, r0, DLC 4. */
    private static final int FIRST_DATA_BIT = 1 + 11 + 1 + 1 + 1 + 4;
    private static final int PARTING_BIT = FIRST_DATA_BIT + 4;

    private static double[] meetings(int number) {
        double[] at = new double[number];
        for (int i = 0; i < number; i++) at[i] = 0.01 + 0.1 * i;
        return at;
    }

    private static WireProbe headOn(int meetings) {
        double[] at = meetings(meetings);
        return WireProbe.of(Buses.bus(0.1 * meetings + 0.1,
                Buses.node("dominant", Buses.message(0x1D0, Buses.hex("55AA"), at)),
                Buses.node("recessive", Buses.message(0x1D0, Buses.hex("5DAA"), at)).withBusOffReturn(
                        Double.POSITIVE_INFINITY),
                Buses.node("listener")));
    }

    private static FrameTruth.Sender by(FrameTruth frame, String node) {
        return frame.senders().stream().filter(s -> s.node().equals(node)).findFirst().orElse(null);
    }

    /** Rule 3: +8 for both at each; 16 x 8 = 128; rule 9: the sixteenth still sends an active flag. */
    @Test
    void sixteenHeadOnFramesTakeBothTo128() {
        WireProbe probe = headOn(1);
        for (int k = 0; k < 16; k++) {
            FrameTruth frame = probe.frames.get(k);
            assertFalse(frame.whole());
            for (String node : List.of("dominant", "recessive")) {
                assertEquals(8 * (k + 1), by(frame, node).transmitErrors(), node + " after " + (k + 1));
                assertEquals(k, by(frame, node).attempt());
            }
            assertEquals(PARTING_BIT, by(frame, "recessive").brokeAtBit());
            assertTrue(by(frame, "dominant").brokeAtBit() > PARTING_BIT);
        }
    }

    /** Rule 3 and 7: the passive flag disturbs nobody, the dominant sender goes through, the other follows alone. */
    @Test
    void theSeventeenthGoesThroughAndBothPayloadsReachTheBus() {
        WireProbe probe = headOn(1);
        assertEquals(18, probe.frames.size());
        FrameTruth seventeenth = probe.frames.get(16);
        assertTrue(seventeenth.whole());
        assertTrue(by(seventeenth, "dominant").completed());
        assertEquals(127, by(seventeenth, "dominant").transmitErrors());
        assertFalse(by(seventeenth, "recessive").completed());
        assertEquals(136, by(seventeenth, "recessive").transmitErrors());
        assertFalse(seventeenth.merged());
        FrameTruth last = probe.frames.get(17);
        assertTrue(last.whole());
        assertEquals(1, last.senders().size());
        assertEquals(135, by(last, "recessive").transmitErrors());
    }

    /** From there on +8 and -1 at each meeting, and bus-off (rule 10) where the +8 reaches 256. */
    @Test
    void theRecessiveSenderClimbsBySevenUntilBusOffAtTheNineteenth() {
        WireProbe probe = headOn(20);
        List<Integer> expected = new ArrayList<>();
        int counter = 128;
        int dominant = 128;
        while (counter + 8 < 256) {
            counter += 8 - 1;
            dominant--;
            expected.add(counter);
        }
        // As printed in the literature's two-phase description and computed in our notes: 135, 142, ... 254.
        assertEquals(18, expected.size());
        assertEquals(254, expected.get(17));

        List<Integer> seen = new ArrayList<>();
        for (FrameTruth frame : probe.frames.subList(16, probe.frames.size())) {
            FrameTruth.Sender recessive = by(frame, "recessive");
            if (recessive != null && recessive.completed()) seen.add(recessive.transmitErrors());
        }
        assertEquals(expected, seen);
        FrameTruth nineteenth = probe.frames.get(16 + 2 * 18);
        assertEquals(254 + 8, by(nineteenth, "recessive").transmitErrors());
        assertEquals(dominant - 1, by(nineteenth, "dominant").transmitErrors());
        assertEquals(List.of("recessive bus-off"), probe.events);
        FrameTruth after = probe.frames.get(probe.frames.size() - 1);
        assertEquals(1, after.senders().size());
        assertEquals("dominant", after.senders().get(0).node());
    }

    /** Clause 3.2.3: superposed flags of 6 to 12 bits; clause 2: at most 31 bits from the error to the next start. */
    @Test
    void flagsSuperposeAndTheBusRecoversInTime() {
        WireProbe probe = headOn(1);
        for (int k = 0; k < 15; k++) {
            FrameTruth frame = probe.frames.get(k);
            // Neither payload nor header of this frame holds a stuff bit before the parting bit (0x1D0 = 00111010000,
            // and the run of four zeros is followed by RTR, IDE and r0: five zeros, one stuff bit).
            int wireBit = PARTING_BIT + 1;
            String bits = probe.bits(frame.startPicos(), Buses.BIT, 60);
            assertEquals('0', bits.charAt(wireBit), "the dominant one stands on the wire");
            int flag = 0;
            while (bits.charAt(wireBit + 1 + flag) == '0') flag++;
            assertTrue(flag >= 6 && flag <= 12, "flags of " + flag + " bits");
            double recovery = (probe.frames.get(k + 1).startPicos() - frame.startPicos()) / Buses.BIT - (wireBit + 1);
            assertTrue(recovery <= 31.1, "took " + recovery + " bits");
            // Flag, delimiter of 8, intermission of 3.
            assertEquals(flag + 8 + 3, recovery, 0.1);
        }
    }

    /** Rule 3, exception 1: alone, a node stops at 128 after 16 attempts and never goes bus-off. */
    @Test
    void aLoneNodeStopsAt128() {
        WireProbe probe = WireProbe.of(Buses.bus(2, Buses.node("alone",
                Buses.message(0x1D0, Buses.hex("55"), 0.001))));
        assertTrue(probe.frames.size() > 1000);
        for (int k = 0; k < probe.frames.size() - 1; k++) {
            assertEquals(Math.min(128, 8 * (k + 1)), probe.frames.get(k).senders().get(0).transmitErrors());
            assertFalse(probe.frames.get(k).whole());
        }
        assertTrue(probe.events.isEmpty());
    }

    /**
     * Clause 3.2.5: a passive node that was transmitter waits 8 more bits. Between two attempts of a lone node lie, after
     * the acknowledge slot, flag 6, delimiter 8, intermission 3, and then these 8; it is passive from the sixteenth error on.
     */
    @Test
    void aPassiveTransmitterWaitsEightBitsMore() {
        Sending sending = Buses.message(0x1D0, Buses.hex("55"), 0.001);
        int untilSlot = WireFrame.of(sending, Buses.hex("55")).stuffedSize + 2;
        WireProbe probe = WireProbe.of(Buses.bus(0.5, Buses.node("alone", sending)));
        for (int k = 0; k < 40; k++) {
            double bits = (probe.frames.get(k + 1).startPicos() - probe.frames.get(k).startPicos()) / Buses.BIT;
            assertEquals(untilSlot + 6 + 8 + 3 + (k < 15 ? 0 : 8), bits, 0.01, "after attempt " + (k + 1));
        }
    }

    /** Rule 12: 128 times 11 recessive bits; counted here from the last dominant bit, that of the acknowledge slot. */
    @Test
    void busOffLasts1408RecessiveBits() {
        double[] at = meetings(19);
        WireProbe probe = WireProbe.of(Buses.bus(2,
                Buses.node("dominant", Buses.message(0x1D0, Buses.hex("55AA"), at)),
                Buses.node("recessive", Buses.message(0x1D0, Buses.hex("5DAA"), at)),
                Buses.node("listener")));
        assertEquals(List.of("recessive bus-off", "recessive back on the bus"), probe.events);
        FrameTruth last = probe.frames.get(probe.frames.size() - 1);
        long slotOver = last.endPicos() - Math.round(8 * Buses.BIT);
        assertEquals(128 * 11, (probe.eventPicos.get(1) - slotOver) / Buses.BIT, 1.01);
        assertTrue(probe.eventPicos.get(1) - probe.eventPicos.get(0) >= 1408 * Buses.BIT);
    }

    /** Frames equal to the last bit are one frame on the wire, without any error. */
    @Test
    void identicalFramesMerge() {
        double[] at = meetings(3);
        WireProbe probe = WireProbe.of(Buses.bus(0.5,
                Buses.node("a", Buses.message(0x1D0, Buses.hex("55"), at)),
                Buses.node("b", Buses.message(0x1D0, Buses.hex("55"), at)), Buses.node("listener")));
        assertEquals(3, probe.frames.size());
        assertTrue(probe.frames.stream().allMatch(f -> f.merged() && f.senders().size() == 2));
    }

    /** Different lengths part in the length code, outside arbitration: a bit error there. */
    @Test
    void differentLengthsBreakInTheControlField() {
        WireProbe probe = WireProbe.of(Buses.bus(0.05,
                Buses.node("a", Buses.message(0x1D0, Buses.hex("55"), 0.01)),
                Buses.node("b", Buses.message(0x1D0, Buses.hex("5566"), 0.01)), Buses.node("listener")));
        // Length codes 0001 and 0010: the third of four bits parts them.
        assertEquals(15 + 2, by(probe.frames.get(0), "b").brokeAtBit());
        assertFalse(probe.frames.get(0).whole());
    }

    /** A higher-priority frame that becomes ready between two attempts goes first. */
    @Test
    void urgentFramesComeBetweenRetries() {
        WireProbe probe = WireProbe.of(Buses.bus(0.05,
                Buses.node("a", Buses.message(0x1D0, Buses.hex("55"), 0.01)),
                Buses.node("b", Buses.message(0x1D0, Buses.hex("5D"), 0.01)),
                Buses.node("urgent", Buses.message(0x010, Buses.hex("00"), 0.0101))));
        assertFalse(probe.frames.get(0).whole());
        assertEquals("urgent", probe.frames.get(1).senders().get(0).node());
        assertTrue(probe.frames.get(1).whole());
        assertFalse(probe.frames.get(2).whole());
        assertEquals(1, by(probe.frames.get(2), "a").attempt());
    }
}
