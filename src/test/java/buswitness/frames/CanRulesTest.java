package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Errors, flags and spaces, written out bit by bit from the rules of Bosch CAN FD 1.0 (2012), clauses 3.2.3 to 3.2.5,
 * 4, 5 and 6, which hold the classical rules of ISO 11898-1.
 */
class CanRulesTest {
    private static final double RATE = 125_000;
    private static final long BIT = 8_000_000;
    private static final String DELIMITER = "11111111";
    private static final byte[] DATA = WireSketch.bytes("A55A0FF0");
    private static final int ID = 0x2A5;

    private final WireSketch wire = new WireSketch(RATE, 1).idle(40);

    private static String body() {
        return CanFrameBits.stuffed(CanFrameBits.unstuffed(ID, false, false, DATA.length, DATA)).toString();
    }

    private FrameLog read() {
        wire.idle(40);
        return wire.record().decodeAt(RATE).frames();
    }

    private static void assertWhole(FrameLog log, int i, int identifier) {
        assertTrue(log.isWhole(i), i + ": " + log.fault(i) + " at bit " + log.faultBit(i));
        assertEquals(identifier, MessageKey.identifier(log.key(i)));
        assertEquals(-1, log.faultBit(i));
        assertNull(log.wireBits(i));
    }

    private static void assertFault(FrameLog log, int i, FrameFault fault, int bit) {
        assertEquals(fault, log.fault(i));
        assertEquals(bit, log.faultBit(i), "position of " + fault);
    }

    /** Clause 3.2.3: a flag of six dominant bits, or the sum of several up to twelve, then eight recessive bits. */
    @ParameterizedTest
    @ValueSource(ints = {6, 7, 8, 9, 10, 11, 12})
    void activeFlagsSuperposed(int flagBits) {
        // 0x2A5, 4 bytes: ... the 41st bit on the wire is recessive, so that the flag is a run of its own.
        String sent = body().substring(0, 41);
        assertTrue(sent.endsWith("1"));
        double at = wire.send(sent + "0".repeat(flagBits) + DELIMITER + "111");
        wire.frame(ID, DATA);
        FrameLog log = read();
        assertEquals(2, log.size());
        int unstuffed = destuffed(sent) + 5 - (endsInFive(sent) ? 1 : 0);
        assertFault(log, 0, FrameFault.ERROR_FLAG, unstuffed);
        assertEquals("0x2A5", MessageKey.text(log.key(0)));
        assertEquals(4, log.lengthCode(0));
        assertEquals((destuffed(sent) - 19) / 8, log.dataLength(0));
        for (int i = 0; i < log.dataLength(0); i++) assertEquals(DATA[i] & 0xFF, log.dataByte(0, i));
        assertEquals(sent + "0".repeat(flagBits) + DELIMITER, log.wireBits(0).toString());
        assertEquals(at + (sent.length() + flagBits + 8) * (double) BIT, log.endPicos(0), 1000);
        assertWhole(log, 1, ID);
        assertFalse(log.isFreeStart(1), "the second attempt follows at once");
    }

    private static int destuffed(String stuffed) {
        int run = 0;
        int count = 0;
        char last = ' ';
        boolean stuff = false;
        for (char c : stuffed.toCharArray()) {
            run = c == last ? run + 1 : 1;
            if (!stuff) count++;
            stuff = run == 5;
            last = c;
        }
        return count;
    }

    private static boolean endsInFive(String bits) {
        return bits.endsWith("00000") || bits.endsWith("11111");
    }

    /** A flag may hide in a dominant run of the frame: the run is longer, the sixth equal bit is the fault. */
    @Test
    void flagRightAfterDominantBits() {
        // Length code 0100: reserved, identifier extension and request bits are dominant too.
        String sent = body().substring(0, body().indexOf("10000100") + 5);
        assertTrue(sent.endsWith("10000"));
        wire.send(sent + "000000" + DELIMITER + "111");
        FrameLog log = read();
        assertEquals(1, log.size());
        assertFault(log, 0, FrameFault.ERROR_FLAG, destuffed(sent) + 1);
        assertEquals(sent + "000000" + DELIMITER, log.wireBits(0).toString());
    }

    /** Passive flags alone (clause 3.2.3): six recessive bits, then the delimiter: eleven show the bus idle again. */
    @Test
    void passiveFlagThatNobodyAnswers() {
        String sent = body().substring(0, 38);
        assertTrue(sent.endsWith("10000"));
        wire.send(sent + "111111" + DELIMITER + "111" + DELIMITER);
        wire.frame(0x111, (byte) 7);
        FrameLog log = read();
        assertEquals(2, log.size());
        assertFault(log, 0, FrameFault.STUFF, destuffed(sent) + 5);
        assertEquals(sent + "11111111111", log.wireBits(0).toString());
        assertEquals("0x2A5", MessageKey.text(log.key(0)));
        assertWhole(log, 1, 0x111);
    }

    /** A passive transmitter's flag breaks the stuff rule for active receivers, who answer with six dominant bits. */
    @Test
    void passiveFlagAnsweredByActiveOnes() {
        String sent = body().substring(0, 38);
        wire.send(sent + "111111" + "000000" + DELIMITER + "111");
        wire.frame(ID, DATA);
        FrameLog log = read();
        assertEquals(2, log.size());
        assertFault(log, 0, FrameFault.STUFF, destuffed(sent) + 5);
        assertEquals(sent + "111111000000" + DELIMITER, log.wireBits(0).toString());
        assertWhole(log, 1, ID);
    }

    /** Clause 6.1: the transmitter alone misses the acknowledge; its flag starts in the delimiter that follows. */
    @Test
    void noAcknowledgeWithAnActiveFlag() {
        for (int i = 0; i < 3; i++) wire.send(body() + "11" + "000000" + DELIMITER + "111");
        FrameLog log = read();
        assertEquals(3, log.size());
        for (int i = 0; i < 3; i++) {
            assertFault(log, i, FrameFault.ACKNOWLEDGE, 19 + 32 + 15 + 1);
            assertFalse(log.isAcknowledged(i));
            assertEquals("A55A0FF0", hex(log, i));
        }
    }

    /** The same from an error-passive sender: a passive flag, which looks like the end of the frame. */
    @Test
    void noAcknowledgeWithAPassiveFlag() {
        wire.send(body() + "1" + "1" + "1111111" + "1" + "111" + "11111111");
        wire.frame(0x333);
        FrameLog log = read();
        assertEquals(2, log.size());
        assertFault(log, 0, FrameFault.ACKNOWLEDGE, 67);
        assertEquals("A55A0FF0", hex(log, 0));
        assertFalse(Float.isNaN(log.bitPpm(0)), "its bits are its own and can be timed");
        assertWhole(log, 1, 0x333);
    }

    private static String hex(FrameLog log, int i) {
        return java.util.HexFormat.of().withUpperCase().formatHex(log.data(i));
    }

    /** Clause 6.2: a receiver whose check fails starts its flag after the acknowledge delimiter. */
    @Test
    void checkFault() {
        BitString bits = CanFrameBits.unstuffed(ID, false, false, DATA.length, DATA);
        BitString wrong = bits.slice(0, bits.size() - 2);
        wrong.add(1 - bits.get(bits.size() - 2));
        wrong.add(bits.get(bits.size() - 1));
        wire.send(CanFrameBits.stuffed(wrong) + "111" + "000000" + DELIMITER + "111");
        wire.send(CanFrameBits.stuffed(wrong) + WireSketch.TAIL + "111");
        wire.frame(ID, DATA);
        FrameLog log = read();
        assertEquals(3, log.size());
        assertFault(log, 0, FrameFault.CHECK, 65);
        assertFalse(log.isAcknowledged(0));
        assertFault(log, 1, FrameFault.CHECK, 65);
        assertTrue(log.isAcknowledged(1));
        assertTrue(Float.isNaN(log.bitPpm(0)));
        assertWhole(log, 2, ID);
    }

    /** Clause 6.1: fixed form. Position 66 check delimiter, 67 acknowledge, 68 its delimiter, 69 to 75 end of frame. */
    @ParameterizedTest
    @CsvSource({"'', 66", "10, 68", "101, 69", "1011, 70", "101111, 72", "10111111, 74"})
    void formFaultWithAFlag(String tail, int position) {
        wire.send(body() + tail + "0" + "000000" + DELIMITER + "111");
        wire.frame(ID, DATA);
        FrameLog log = read();
        assertEquals(2, log.size());
        assertFault(log, 0, FrameFault.FORM, position);
        assertEquals("A55A0FF0", hex(log, 0));
        assertEquals(!tail.isEmpty(), log.isAcknowledged(0));
        assertWhole(log, 1, ID);
    }

    /** Clause 4: valid for receivers up to the last but one bit of end of frame; then dominant means overload. */
    @Test
    void dominantInTheLastBitOfEndOfFrame() {
        wire.send(body() + "101111111" + "0" + "000000" + DELIMITER + "111");
        wire.frame(0x123);
        FrameLog log = read();
        assertEquals(3, log.size());
        assertWhole(log, 0, ID);
        assertFault(log, 1, FrameFault.OVERLOAD, 0);
        assertEquals("0000000" + DELIMITER, log.wireBits(1).toString());
        assertEquals(MessageKey.UNKNOWN, log.key(1));
        assertWhole(log, 2, 0x123);
    }

    /** Clause 3.2.4: overload flags in the first and second bit of intermission, and two overload frames in a row. */
    @Test
    void overloadInIntermission() {
        wire.send(body() + WireSketch.TAIL + "000000" + DELIMITER + "111");
        wire.send(body() + WireSketch.TAIL + "1" + "0000000" + DELIMITER + "111");
        wire.send(body() + WireSketch.TAIL + "000000" + DELIMITER + "000000000000" + DELIMITER + "111");
        wire.frame(0x123);
        FrameLog log = read();
        assertEquals(8, log.size());
        int[] whole = {0, 2, 4};
        for (int i : whole) assertWhole(log, i, ID);
        for (int i : new int[] {1, 3, 5, 6}) assertFault(log, i, FrameFault.OVERLOAD, 0);
        assertWhole(log, 7, 0x123);
        assertEquals(4, log.wholeCount());
    }

    /** Clause 3.2.4: dominant in the eighth bit of an error delimiter starts an overload frame. */
    @Test
    void overloadAtTheEndOfAnErrorDelimiter() {
        wire.send(body().substring(0, 41) + "000000" + "1111111" + "0" + "000000" + DELIMITER + "111");
        wire.frame(0x123);
        FrameLog log = read();
        assertEquals(3, log.size());
        assertEquals(FrameFault.ERROR_FLAG, log.fault(0));
        assertFault(log, 1, FrameFault.OVERLOAD, 0);
        assertWhole(log, 2, 0x123);
    }

    /** A second flag inside the delimiter belongs to the same stretch. */
    @Test
    void flagInsideADelimiter() {
        String bits = body().substring(0, 41) + "000000" + "111" + "000000" + DELIMITER;
        wire.send(bits + "111");
        wire.frame(0x123);
        FrameLog log = read();
        assertEquals(2, log.size());
        assertEquals(bits, log.wireBits(0).toString());
        assertWhole(log, 1, 0x123);
    }

    /** Clause 3.2.5: a dominant third bit of intermission is a start of frame. */
    @Test
    void startInTheThirdBitOfIntermission() {
        wire.send(body() + WireSketch.TAIL + "11");
        wire.frame(0x123, (byte) 9);
        wire.frame(0x124, (byte) 9);
        FrameLog log = read();
        assertEquals(3, log.size());
        assertWhole(log, 0, ID);
        assertWhole(log, 1, 0x123);
        assertWhole(log, 2, 0x124);
    }

    /** Clause 3.2.1: receivers take reserved bits and a substitute request bit of either level. */
    @Test
    void reservedBitsOfEitherLevel() {
        BitString base = CanFrameBits.unstuffed(ID, false, false, 1, new byte[] {0x5A});
        BitString extended = CanFrameBits.unstuffed(0x12345678, true, false, 1, new byte[] {0x5A});
        sendFlipped(base, 14);
        sendFlipped(extended, 12);
        sendFlipped(extended, 33);
        sendFlipped(extended, 34);
        FrameLog log = read();
        assertEquals(4, log.wholeCount());
        assertEquals("0x2A5", MessageKey.text(log.key(0)));
        for (int i = 1; i < 4; i++) assertEquals("0x12345678", MessageKey.text(log.key(i)));
    }

    private void sendFlipped(BitString frame, int bit) {
        BitString out = new BitString();
        for (int i = 0; i < frame.size() - 15; i++) out.add(i == bit ? 1 - frame.get(i) : frame.get(i));
        out.addBits(CanFrameBits.crc15(out), 15);
        wire.send(CanFrameBits.stuffed(out) + WireSketch.TAIL + "111");
    }

    /** Clause 3.2.1: length codes 9 to 15 mean 8 bytes; clause 3.2.2: a remote frame has no data whatever its code. */
    @Test
    void lengthCodes() {
        byte[] eight = WireSketch.bytes("0102030405060708");
        for (int code = 0; code < 16; code++) {
            wire.frame(0x100 + code, false, false, code, eight);
            wire.frame(0x1FFFF000 + code, true, true, code, eight);
        }
        FrameLog log = read();
        assertEquals(32, log.wholeCount());
        for (int code = 0; code < 16; code++) {
            assertEquals(Math.min(code, 8), log.dataLength(2 * code));
            assertEquals(code, log.lengthCode(2 * code));
            assertTrue(log.isRemote(2 * code + 1) && log.isExtended(2 * code + 1));
            assertEquals(code, log.lengthCode(2 * code + 1));
            assertEquals(0, log.dataLength(2 * code + 1));
        }
    }

    /** A start bit that nothing follows, a lone dominant bit between frames, and a line held down. */
    @Test
    void activityThatIsNoFrame() {
        wire.send("0");
        wire.idle(30);
        wire.frame(ID, DATA);
        wire.idle(30);
        wire.send("0".repeat(400) + "1".repeat(30));
        wire.frame(ID, DATA);
        wire.send(body() + WireSketch.TAIL + "011" + body() + WireSketch.TAIL + "111");
        FrameLog log = read();
        assertEquals(FrameFault.NOISE, log.fault(0));
        assertWhole(log, 1, ID);
        assertEquals(FrameFault.NOISE, log.fault(2));
        assertWhole(log, 3, ID);
        assertWhole(log, 4, ID);
        assertEquals(FrameFault.NOISE, log.fault(5));
        assertWhole(log, 6, ID);
        assertEquals(7, log.size());
    }

    /** More than intermission 3, suspend 8 and 1 bits of silence show that nothing held the sender back. */
    @Test
    void freeStarts() {
        wire.frame(ID, DATA);
        wire.frame(ID, DATA);
        wire.idle(8.5).frame(ID, DATA);
        wire.idle(10.5).frame(ID, DATA);
        wire.send(body().substring(0, 41) + "000000" + DELIMITER + "111");
        wire.idle(8.0).frame(ID, DATA);
        FrameLog log = read();
        boolean[] free = {false, false, false, true, false, false};
        for (int i = 0; i < free.length; i++) assertEquals(free[i], log.isFreeStart(i), "frame " + i);
    }
}
