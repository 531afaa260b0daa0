package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Frames from outside. "Seen": printed elsewhere and read there. "Computed": from the rules of ISO 11898-1 by a
 * throw-away script that shares no code with this program; such a value is a second opinion, not a published one.
 */
class PublishedFramesTest {

    /** RevEng catalogue of parametrised CRC algorithms, CRC-15/CAN: check 0x059E over "123456789" (seen). */
    @Test
    void crcOfTheCatalogueString() {
        byte[] text = "123456789".getBytes(StandardCharsets.US_ASCII);
        BitString bits = new BitString();
        long high = 0;
        long low = 0;
        for (byte b : text) {
            bits.addBits(b, 8);
            high = high << 8 | low >>> 56;
            low = low << 8 | b;
        }
        assertEquals(0x059E, CanFrameBits.crc15(bits));
        assertEquals(0x059E, Crc15.of(high, low));
        bits.addBits(0x059E, 15);
        assertEquals(0, CanFrameBits.crc15(bits), "catalogue residue");
    }

    /** The generator as its three published factors (Bosch CAN FD 1.0, 2012, p. 13; seen). */
    @Test
    void crcGeneratorIsTheProductOfItsPublishedFactors() {
        int product = multiply(multiply(0b11, 0b1000_1001), 0b1000_1111);
        assertEquals(0xC599, product);
        assertEquals(product & 0x7FFF, Crc15.of(0, 1), "remainder of x^15");
    }

    private static int multiply(int a, int b) {
        int out = 0;
        for (int i = 0; i < 16; i++) if ((b >> i & 1) != 0) out ^= a << i;
        return out;
    }

    /** A printed frame: identifier 0x014, one byte 01, not acknowledged, out of an open firmware's unit test (seen). */
    @Test
    void printedFrameOfIdentifier014() {
        String seen = "0000010010100000100010000010011110111010100111111111111111";
        WireSketch wire = new WireSketch(125_000, 1).idle(20);
        wire.send(seen);
        wire.idle(20);
        FrameLog log = wire.record().decodeAt(125_000).frames();
        assertEquals(1, log.size());
        assertEquals("0x014", MessageKey.text(log.key(0)));
        assertEquals(1, log.dataLength(0));
        assertEquals(0x01, log.dataByte(0, 0));
        assertEquals(FrameFault.ACKNOWLEDGE, log.fault(0), "the printed string has no acknowledge");
        BitString sent = CanFrameBits.stuffed(CanFrameBits.unstuffed(0x014, false, false, 1, new byte[] {1}));
        assertTrue(seen.startsWith(sent.toString()), sent + " is not how " + seen + " begins");
    }

    /**
     * ISO 16845-1 clause 8.1.6, elementary stuffing cases: inputs as an open conformance test quotes them (seen);
     * check sequences and bit strings computed. Then further frames, computed.
     */
    @ParameterizedTest(name = "{0}")
    @CsvSource(textBlock = """
        case 1, 078, false, 8, 01E1E1E1E1E1E1E1, 28A3, 19, 127, 000001111100000100100000100000111110000011111000001111100000111110000011111000001111100000111110000011010100010100011
        case 2, 41F, false, 1, 00, 0C46, 5, 57, 01000001111101000001010000010000010110001000110
        case 3, 47F, false, 1, 1F, 66D7, 3, 55, 010001111101100000101000111110110011011010111
        case 4, 758, false, 0, '', 26AD, 2, 46, 011101011000001000001010011010101101
        case 5, 777, false, 1, 1F, 3C31, 2, 54, 01110111011100000101000111110011110000110001
        case 6, 7EF, true, 2, '', 63BE, 4, 48, 01111101011111000001101100011101111100
        id 014, 014, false, 1, 01, 7753, 3, 55, 000001001010000010001000001001111011101010011
        id 000, 000, false, 0, '', 0000, 6, 50, 0000010000010000010000010000010000010000
        id 7FF, 7FF, false, 0, '', 272F, 3, 47, 0111110111110100000100010011100101111
        zeros, 000, false, 8, 0000000000000000, 145B, 16, 124, ''
        ones, 7FF, false, 8, FFFFFFFFFFFFFFFF, 4C89, 15, 123, ''
        count, 123, false, 8, 0001020304050607, 234B, 9, 117, ''
        alternating, 555, false, 8, AAAAAAAAAAAAAAAA, 7DCE, 1, 109, ''
        request, 7DF, false, 8, 02010C5555555555, 4438, 4, 112, ''
        extended, 12345678, false, 2, AABB, 783C, 4, 84, 01001000110111000101011001111000001000101010101010111011111010000011111000
        extended request, 18DB33F1, false, 8, 02010C5555555555, 1FCD, 4, 132, ''
        """)
    void workedFrames(String name, String identifier, boolean remote, int code, String data, String crc, int stuffBits,
                      int wireBits, String body) {
        boolean extended = identifier.length() == 8;
        int id = Integer.parseInt(identifier, 16);
        byte[] payload = WireSketch.bytes(data);
        BitString unstuffed = CanFrameBits.unstuffed(id, extended, remote, code, payload);
        BitString stuffed = CanFrameBits.stuffed(unstuffed);
        assertEquals(Integer.parseInt(crc, 16), unstuffed.number(unstuffed.size() - 15, 15), "check sequence");
        assertEquals(stuffBits, stuffed.size() - unstuffed.size(), "stuff bits");
        assertEquals(wireBits, stuffed.size() + WireSketch.TAIL.length(), "bits on the wire");
        if (!body.isEmpty()) assertEquals(body, stuffed.toString());

        WireSketch wire = new WireSketch(500_000, 2).idle(20);
        double at = wire.send((body.isEmpty() ? stuffed.toString() : body) + WireSketch.TAIL);
        wire.idle(20);
        FrameLog log = wire.record().decodeAt(500_000).frames();
        assertEquals(1, log.size());
        assertTrue(log.isWhole(0), log.fault(0) + " at bit " + log.faultBit(0));
        assertEquals("0x" + identifier, MessageKey.text(log.key(0)));
        assertEquals(remote, log.isRemote(0));
        assertEquals(code, log.lengthCode(0));
        assertEquals(data, java.util.HexFormat.of().withUpperCase().formatHex(log.data(0)));
        assertTrue(log.isAcknowledged(0));
        assertEquals(Math.round(at), log.startPicos(0));
        assertEquals(at + wireBits * 2e6, log.endPicos(0), 2000, String.format(Locale.ROOT, "end of %s", name));
    }

    /**
     * Worst-case length, stuff bits counted (R. I. Davis, A. Burns, R. J. Bril and J. J. Lukkien, Real-Time Systems 35,
     * 2007, equation 1, from memory): g + 8 s + 13 + (g + 8 s - 1) / 4 bits with g = 34 or 54, intermission included.
     * Closed forms 55 + 10 s and 80 + 10 s as cited by a later article (seen).
     */
    @Test
    void noFrameIsLongerThanTheWorstCase() {
        Random random = new Random(5);
        int longest = 0;
        for (int i = 0; i < 60_000; i++) {
            boolean extended = random.nextBoolean();
            int s = random.nextInt(9);
            byte[] data = new byte[s];
            random.nextBytes(data);
            int identifier = random.nextInt(extended ? 0x20000000 : 0x800);
            if (i % 3 == 0) {
                // The first ISO 16845-1 case, whose rows of five all begin with a stuff bit, with one bit turned over.
                System.arraycopy(WireSketch.bytes("01E1E1E1E1E1E1E1"), 0, data, 0, s);
                if (s > 0) data[random.nextInt(s)] ^= (byte) (1 << random.nextInt(8));
                identifier = extended ? 0x078 << 18 | 0x0F83E : 0x078;
            }
            BitString unstuffed = CanFrameBits.unstuffed(identifier, extended, false, s, data);
            int stuffed = CanFrameBits.stuffed(unstuffed).size();
            int g = extended ? 54 : 34;
            assertEquals(g + 8 * s, unstuffed.size(), "without stuff bits");
            assertTrue(stuffed - unstuffed.size() <= (g + 8 * s - 1) / 4);
            int length = stuffed + WireSketch.TAIL.length() + WireSketch.INTERMISSION.length();
            assertTrue(length <= (extended ? 80 : 55) + 10 * s, "identifier " + identifier + ", " + s + " bytes");
            longest = Math.max(longest, stuffed - unstuffed.size());
        }
        assertTrue(longest >= 17, "the search came near the bound: " + longest);
    }
}
