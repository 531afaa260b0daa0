package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.Payloads;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Collisions rebuilt: bits, break, burst and error counter; and what only looks like one. */
class HeadOnTest {
    private static final int ID = 0x1D0;

    /**
     * Two error-active nodes in step: each error adds 8 to both transmit error counters, and 128 makes a node
     * passive, so
     * 16 frames break (Bosch CAN 2.0 / CAN FD 1.0 clause 7, rules 3 and 9, read in the printed specification).
     * Derived here
     * from the two rules, not from our code.
     */
    @Test
    void aBurstFromFreshCountersHasSixteenFrames() {
        int counter = 0;
        int broken = 0;
        while (counter < 128) {
            counter += 8;
            broken++;
        }
        assertEquals(16, broken);

        ClashFindings found = ClashesTest.judge(headOn(Payloads.constant(0xC8, 1, 2, 3), Payloads.constant(0x28, 1, 2,
                3), 1));
        Collision first = found.collisions().get(0);
        assertEquals(broken, first.frames().size());
        assertEquals(counter, first.errorCounter());
        assertTrue(first.conclusive(), first.because());
        assertTrue(first.untilSeconds() > first.atSeconds());
    }

    /**
     * 0xC8 = 1100 1000 and 0x28 = 0010 1000 part at the first data bit; bit 19 after SOF, 11 + 3 + 4 bits
     * (ISO 11898-1).
     */
    @Test
    void theBreakIsTheFirstBitWhereThePayloadsPart() {
        ClashFindings found = ClashesTest.judge(headOn(Payloads.constant(0xC8, 1, 2, 3), Payloads.constant(0x28, 1, 2,
                3), 2));
        assertFalse(found.collisions().isEmpty());
        for (Collision c : found.collisions()) {
            assertEquals(1 + 11 + 3 + 4, c.breakBit());
            assertEquals(0, c.firstMeant().get(c.breakBit()), "the first sender is the dominant one");
            assertEquals(1, c.secondMeant().get(c.breakBit()));
            assertEquals(0, c.onWire().get(c.breakBit()), "dominant wins on the wire");
            assertEquals(0x28, c.firstMeant().number(c.breakBit(), 8));
            assertEquals(0xC8, c.secondMeant().number(c.breakBit(), 8));
            assertNotEquals(c.firstSender(), c.secondSender());
        }
    }

    /** Lengths 4 (0100) and 8 (1000) part in the first bit of the length code, bit 15. */
    @Test
    void unlikeLengthsBreakInTheControlField() {
        ClashFindings found = ClashesTest.judge(headOn(Payloads.constant(1, 2, 3, 4),
                Payloads.constant(1, 2, 3, 4, 5, 6, 7, 8), 3));
        assertEquals(ClashFindings.Answer.YES, found.clash());
        assertFalse(found.collisions().isEmpty());
        for (Collision c : found.collisions()) assertEquals(15, c.breakBit());
    }

    /** Payloads that change move the break with their difference. */
    @Test
    void theBreakMovesWithTheDifference() {
        ClashFindings found = ClashesTest.judge(headOn(Payloads.constant(0x55, 0x00, 7), (count, t, random) ->
                new byte[] {(byte) (t < 20 ? 0x55 : 0x54), (byte) 0x80, 7}, 4));
        List<Integer> bits = found.collisions().stream().filter(Collision::conclusive).map(Collision::breakBit)
                .distinct().sorted().toList();
        for (int bit : bits) assertTrue(bit == 19 + 7 || bit == 19 + 8, "bit " + bit);
        assertFalse(bits.isEmpty());
    }

    @Test
    void identicalFramesMergeWithoutACollision() {
        ClashFindings found = ClashesTest.judge(headOn(Payloads.constant(1, 2, 3), Payloads.constant(1, 2, 3), 5));
        assertTrue(found.collisions().isEmpty());
        assertNotEquals(ClashFindings.Answer.YES, found.clash(), "two timers alone prove no two nodes");
    }

    /**
     * Six equal bits end the reading; a stuff bit inside the run is left out, the flag's first bits may
     * be read as data.
     */
    @Test
    void readsADamagedFrameUpToTheSixthEqualBit() {
        BitString meant = CanFrameBits.unstuffed(ID, false, false, 2, new byte[] {(byte) 0xA5, 0x0F});
        for (int at = 19; at < meant.size() - 1; at++) {
            if (meant.get(at) == 0) continue;
            WireRead read = new WireRead(Doctored.broken(meant, at), false);
            assertEquals(MessageKey.can(ID, false), read.key());
            assertEquals(at, read.firstDifference(meant), "broken at " + at);
            assertTrue(read.dominantAfter(at) >= 6, "flag after " + at);
        }
    }

    /**
     * Two nodes whose clocks are 400 ppm apart. A long frame of the first goes ahead of its own, so that for some 2 s
     * both
     * wait for the end of that frame and start together.
     */
    static Made headOn(FrameLogs.Payload one, FrameLogs.Payload two, long seed) {
        FrameLogs bus = new FrameLogs(125_000, 40, seed);
        FrameLogs.Node a = bus.node(200).every(ID, 0.1, 0.0132, one);
        FrameLogs.Node b = bus.node(-200).every(ID, 0.1, 0.0209, two);
        a.every(0x050, 0.1, 0.0128, Payloads.constant(9, 9, 9, 9, 9, 9, 9, 9));
        a.every(0x120, 0.05, 0.031, Payloads.slow(8, 7, 2, true));
        b.every(0x121, 0.05, 0.044, Payloads.slow(8, 7, 2, true));
        return bus.make();
    }
}
