package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.CheckFormat;
import java.util.HexFormat;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** The encoder of described buses against published values. */
class FormatBitsTest {
    private static byte[] hex(String text) {
        return HexFormat.of().parseHex(text.replace(" ", ""));
    }

    private static String frame(String format, long name, Map<String, Long> others, String data, boolean second) {
        FormatBits bits = FormatBits.of(BusFormats.builtIn(format), name, others, hex(data), second);
        return HexFormat.of().withUpperCase().formatHex(bits.bytes());
    }

    /** LIN 2.2A clause 2.3.1.3 (formula seen in a secondary source); the whole table was computed from it elsewhere. */
    @Test
    void protectedIdentifiersOfLin() {
        byte[] table = hex("80C14203C48506470849CA8B4C0D8ECF" + "5011 92D3 1455 D697 D899 1A5B 9CDD 5E1F"
                + "2061 E2A3 6425 A6E7 A8E9 6A2B ECAD 2E6F" + "F0B1 3273 B4F5 7637 78 39 BA FB 3C 7D FE BF");
        for (int id = 0; id < 64; id++) {
            byte[] frame = FormatBits.of(BusFormats.builtIn("lin"), id, Map.of(), new byte[1], false).bytes();
            assertEquals(table[id], frame[1], "identifier " + id);
        }
    }

    /** LIN 2.2A clause 2.8.3, table 2.5: 4A 55 93 E5 gives E6; with identifier 0x10 (protected 50) 96. */
    @Test
    void checkSumsOfLin() {
        assertEquals("55504A5593E5E6", frame("lin", 0x10, Map.of(), "4A5593E5", true));
        assertEquals("55504A5593E596", frame("lin", 0x10, Map.of(), "4A5593E5", false));
        // Go to sleep, table 2.1: classic, 00.
        assertEquals("553C00FFFFFFFFFFFFFF00", frame("lin", 0x3C, Map.of(), "00FFFFFFFFFFFFFF", true));
        // Vectors of open unit tests.
        assertEquals("5550DD0121", frame("lin", 0x10, Map.of(), "DD01", true));
        assertEquals("5550BF40FF00", frame("lin", 0x10, Map.of(), "BF40FF", true));
    }

    /**
     * A remote frame has no payload whatever its length code (Bosch 2012, 3.2.2). Input of ISO 16845-1, 8.1.6, number 6 (seen
     * in a conformance test): 7EF, remote, length 2; its check computed elsewhere, 63BE.
     */
    @Test
    void theRemoteFlag() {
        FormatBits remote = FormatBits.of(BusFormats.builtIn("can"), 0x7EF, Map.of("remote or substitute", 1L, "length", 2L),
                new byte[0], false);
        assertEquals("011111101111" + "1" + "000010" + "110001110111110", "0" + remote.bits());
        assertEquals(-1, remote.from("data"));
        FormatBits extended = FormatBits.of(BusFormats.builtIn("can"), 0x18DB33F1L,
                Map.of("remote or substitute", 1L, "extended", 1L, "remote", 1L, "length", 8L), new byte[0], false);
        assertEquals(39 - 1 + 15, extended.bits().size());
        assertEquals(-1, extended.from("data"));
        FormatBits asked = FormatBits.of(BusFormats.builtIn("can"), 0x18DB33F1L,
                Map.of("remote or substitute", 1L, "extended", 1L), new byte[2], false);
        assertEquals(39 - 1 + 16 + 15, asked.bits().size());
    }

    /** What a frame's other fields held comes back by name, and a frame is rebuilt by them. */
    @Test
    void otherFieldsComeBack() {
        BusFormat iso = BusFormats.builtIn("iso14230");
        assertEquals(Map.of("mode", 3L), FormatBits.others(iso, 3));
        // 33 to F1, functional, two bytes: C2 33 F1 01 0C and the sum F3 (seen in a forum's log, computed).
        assertEquals("C233F1010CF3", HexFormat.of().withUpperCase().formatHex(FormatBits.of(iso, 0x33F1,
                FormatBits.others(iso, 3), hex("010C"), false).bytes()));
        assertEquals(Map.of(), FormatBits.others(BusFormats.builtIn("lin"), 0));
    }

    /** A trace measured on a bus, and a widely printed request and answer (the latter from memory). */
    @Test
    void framesOfJ1850() {
        assertEquals("686AF1010017", frame("j1850-vpw", 0x686AF1, Map.of(), "0100", false));
        assertEquals("486B104100BE3EB811FA", frame("j1850-vpw", 0x486B10, Map.of(), "4100BE3EB811", false));
        assertEquals("686AF1010017", frame("j1850-pwm", 0x686AF1, Map.of(), "0100", false));
    }

    /** Byte vectors of "8-bit SAE J1850 CRC" (AUTOSAR, Specification of CRC Routines; from memory, reproduced). */
    @Test
    void vectorsOfTheJ1850Check() {
        CheckFormat.Kind crc = BusFormats.builtIn("j1850-vpw").checks().get(0).kind();
        String[] vectors = {"00000000", "59", "F20183", "37", "0FAA0055", "79", "00FF5511", "B8",
            "332255AABBCCDDEEFF", "CB", "926B55", "8C", "FFFFFFFF", "74", "313233343536373839", "4B"};
        for (int i = 0; i < vectors.length; i += 2) {
            BitString bits = new BitString();
            for (byte b : hex(vectors[i])) bits.addBits(b & 0xFF, 8);
            assertEquals(Long.parseLong(vectors[i + 1], 16), FormatBits.check(crc, bits, 8), vectors[i]);
        }
    }

    /** Catalogue check values over "123456789" (RevEng catalogue as reproduced in an open calculator). */
    @Test
    void catalogueValues() {
        BitString nine = new BitString();
        for (byte b : hex("313233343536373839")) nine.addBits(b, 8);
        assertEquals(0x059E, FormatBits.check(new CheckFormat.Kind.Crc(15, 0x4599, 0, false, false, 0), nine, 15));
        assertEquals(0x04F03, FormatBits.check(new CheckFormat.Kind.Crc(17, 0x1685B, 0, false, false, 0), nine, 17));
        assertEquals(0x0ED841, FormatBits.check(new CheckFormat.Kind.Crc(21, 0x102899, 0, false, false, 0), nine, 21));
        // Reflected ones from the same catalogue, from memory: CRC-16/ARC BB3D, CRC-32 CBF43926.
        assertEquals(0xBB3D, FormatBits.check(new CheckFormat.Kind.Crc(16, 0x8005, 0, true, true, 0), nine, 16));
        assertEquals(0xCBF43926L, FormatBits.check(
                new CheckFormat.Kind.Crc(32, 0x04C11DB7L, 0xFFFFFFFFL, true, true, 0xFFFFFFFFL), nine, 32));
    }

    /** ISO 14230 sums seen in a log, and one of ISO 9141-2 (from memory). */
    @Test
    void sumsOfTheKLine() {
        assertEquals("C233F1010CF3", frame("iso14230", 0x33F1, Map.of("mode", 3L), "010C", false));
        assertEquals("84F111410C0000D3", frame("iso14230", 0xF111, Map.of("mode", 2L), "410C0000", false));
        assertEquals("686AF10100C4", frame("iso9141", 0x686AF1, Map.of(), "0100", false));
    }

    /** The hand-written CAN encoder and the described one give the same bits. */
    @Test
    void describedCanIsCan() {
        BusFormat can = BusFormats.builtIn("can");
        byte[] data = hex("0001020304050607");
        for (int length = 0; length <= 8; length++) {
            byte[] some = java.util.Arrays.copyOf(data, length);
            BitString described = FormatBits.of(can, 0x123, Map.of("length", (long) length), some, false).bits();
            BitString byHand = CanFrameBits.unstuffed(0x123, false, false, length, some);
            assertEquals(byHand.slice(1, byHand.size()).toString(), described.toString());
        }
    }

    @Test
    void refusesWhatTheFormatCannotCarry() {
        BusFormat lin = BusFormats.builtIn("lin");
        assertThrows(IllegalArgumentException.class, () -> FormatBits.of(lin, 64, Map.of(), new byte[2], false));
        assertArrayEquals(hex("5580"), java.util.Arrays.copyOf(
                FormatBits.of(lin, 0, Map.of(), new byte[2], false).bytes(), 2));
    }
}
