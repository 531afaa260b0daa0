package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.CheckFormat.Kind;
import buswitness.schema.LineFormat;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Values from outside. "Seen": in the text named or a copy of it; "memory": not opened, from memory; "computed": worked out
 * from the rule of the same source, not published.
 */
class PublishedVectorsTest {
    private static FrameBits bits(String hex) {
        FrameBits bits = new FrameBits();
        for (byte b : WireSketch.bytes(hex)) bits.addByte(b & 0xFF);
        return bits;
    }

    private static long check(Kind kind, String hex, int width) {
        FrameBits bits = bits(hex);
        return CheckValue.of(kind, bits, 0, bits.size(), width);
    }

    private static Kind kindIn(String bus, String field) {
        return BusFormats.builtIn(bus).checks().stream().filter(c -> c.field().equals(field)).findFirst().orElseThrow().kind();
    }

    /**
     * Check values for the nine digits "123456789". CRC-8/SAE-J1850, CRC-15/CAN, CRC-17/CAN-FD, CRC-21/CAN-FD: seen in the
     * RevEng catalogue of parametrised CRC algorithms (as reproduced). The other widths: the same catalogue, from memory.
     */
    @ParameterizedTest
    @CsvSource({
        "CRC-8/SAE-J1850, 8, 1D, FF, false, false, FF, 4B", "CRC-15/CAN, 15, 4599, 0, false, false, 0, 059E",
        "CRC-17/CAN-FD, 17, 1685B, 0, false, false, 0, 04F03", "CRC-21/CAN-FD, 21, 102899, 0, false, false, 0, 0ED841",
        "memory CRC-3/GSM, 3, 3, 0, false, false, 7, 4", "memory CRC-4/G-704, 4, 3, 0, true, true, 0, 7",
        "memory CRC-5/USB, 5, 05, 1F, true, true, 1F, 19", "memory CRC-6/G-704, 6, 03, 0, true, true, 0, 06",
        "memory CRC-7/MMC, 7, 09, 0, false, false, 0, 75", "memory CRC-10/ATM, 10, 233, 0, false, false, 0, 199",
        "memory CRC-11/FLEXRAY, 11, 385, 01A, false, false, 0, 5A3", "memory CRC-12/DECT, 12, 80F, 0, false, false, 0, F5B",
        "memory CRC-14/DARC, 14, 0805, 0, true, true, 0, 082D", "memory CRC-16/IBM-3740, 16, 1021, FFFF, false, false, 0, 29B1",
        "memory CRC-16/ARC, 16, 8005, 0, true, true, 0, BB3D", "memory CRC-24/OPENPGP, 24, 864CFB, B704CE, false, false, 0, 21CF02",
        "memory CRC-31/PHILIPS, 31, 04C11DB7, 7FFFFFFF, false, false, 7FFFFFFF, 0CE9E46C",
        "memory CRC-32/ISO-HDLC, 32, 04C11DB7, FFFFFFFF, true, true, FFFFFFFF, CBF43926",
        "computed CRC-17 with the ISO start value, 17, 1685B, 10000, false, false, 0, 09D9B",
        "computed CRC-21 with the ISO start value, 21, 102899, 100000, false, false, 0, 1323D8"
    })
    void catalogue(String name, int width, String polynomial, String initial, boolean in, boolean out, String xor, String expected) {
        Kind.Crc crc = new Kind.Crc(width, Long.parseLong(polynomial, 16), Long.parseLong(initial, 16), in, out, Long.parseLong(xor, 16));
        String digits = java.util.HexFormat.of().formatHex("123456789".getBytes(StandardCharsets.US_ASCII));
        assertEquals(Long.parseLong(expected, 16), check(crc, digits, width), name);
    }

    /** CRC-8 of SAE J1850: first row seen (measured trace), second memory and computed (widely printed), rest computed. */
    @ParameterizedTest
    @CsvSource({"686AF10100, 17", "486B104100BE3EB811, FA", "686AF1010C, 8B", "686AF1010D, 96", "686AF10105, 7E", "616AF10100, 0A",
        "00000000, 59", "F20183, 37", "0FAA0055, 79", "00FF5511, B8", "332255AABBCCDDEEFF, CB", "926B55, 8C", "FFFFFFFF, 74"})
    void j1850Checks(String bytes, String expected) {
        assertEquals(Integer.parseInt(expected, 16), check(kindIn("j1850-vpw", "check"), bytes, 8));
    }

    /** LIN classic sums: first row the worked example of LIN 2.2A, 2.8.3, table 2.5 (seen); next four seen in open tests. */
    @ParameterizedTest
    @CsvSource({"4A5593E5, E6", "91FA, 73", "A9D3763D4FD9D35B, 76", "DD01, 21", "BF40FF, 00", "FFFFFFFFFFFFFFFF, 00",
        "0000000000000000, FF", "00FFFFFFFFFFFFFF, 00"})
    void linClassicSums(String data, String expected) {
        Kind sum = BusFormats.builtIn("lin").checks().get(2).kind();
        assertEquals(Integer.parseInt(expected, 16), check(sum, data, 8));
    }

    /** Enhanced sums over identifier byte and data: first row seen, the others computed. */
    @ParameterizedTest
    @CsvSource({"50, 96", "80, 66", "C1, 25", "97, 4F", "A3, 43", "FB, EA"})
    void linEnhancedSums(String identifier, String expected) {
        Kind sum = BusFormats.builtIn("lin").checks().get(1).kind();
        assertEquals(Integer.parseInt(expected, 16), check(sum, identifier + "4A5593E5", 8));
    }

    /** Protected identifiers 0x00 to 0x3F; formula seen (LIN 2.2A, 2.3.1.3), values computed, 00 01 3C 3D seen. */
    private static final String PROTECTED = "80C14203C4850647" + "0849CA8B4C0D8ECF" + "501192D31455D697" + "D8991A5B9CDD5E1F"
            + "2061E2A36425A6E7" + "A8E96A2BECAD2E6F" + "F0B13273B4F57637" + "7839BAFB3C7DFEBF";

    @Test
    void protectedIdentifiers() {
        byte[] table = WireSketch.bytes(PROTECTED);
        assertEquals(64, table.length);
        Kind parity = kindIn("lin", "parity");
        for (int id = 0; id < 64; id++) {
            FrameBits bits = new FrameBits();
            bits.addByte(id << 2);
            long value = CheckValue.of(parity, bits, 0, 6, 2) << 6 | id;
            assertEquals(table[id] & 0xFF, value, "identifier " + id);
        }
    }

    /** A frame with each protected identifier from the table is read; with any other parity its fault is told. */
    @Test
    void protectedIdentifiersOnTheWire() {
        byte[] table = WireSketch.bytes(PROTECTED);
        FormatSketch line = BusSamples.sketch("lin").idle(5000);
        LineFormat.Bytes bytes = (LineFormat.Bytes) line.format.line();
        List<Integer> good = new ArrayList<>();
        for (int wrong = 0; wrong < 4; wrong++) {
            for (int id = 0; id < 64; id++) {
                int sent = table[id] & 0xFF ^ wrong << 6;
                String head = FormatSketch.text(0x55, 8) + FormatSketch.text(sent, 8);
                line.bytes(bytes, head + FormatSketch.text(0x11, 8) + FormatSketch.text(0xEE, 8), true);
                line.idle(5000);
                good.add(wrong);
            }
        }
        FrameLog log = line.record(1, false).decode(BusSamples.told("lin")).frames();
        assertEquals(256, log.size());
        for (int i = 0; i < 256; i++) {
            assertEquals(good.get(i) == 0 ? FrameFault.NONE : FrameFault.PARITY, log.fault(i), i + " " + DecoderContractTest.rows(log).get(i));
            assertEquals(i % 64, MessageKey.identifier(log.key(i)));
        }
    }

    /** ISO 14230 and ISO 9141-2 sums: seen in a log of a forum and computed. */
    @ParameterizedTest
    @CsvSource({"iso14230, C233F1010C, F3", "iso14230, 84F111410C0000, D3", "iso9141, 686AF10100, C4"})
    void sums(String bus, String bytes, String expected) {
        assertEquals(Integer.parseInt(expected, 16), check(kindIn(bus, "check"), bytes, 8));
        FormatSketch line = BusSamples.sketch(bus).idle(50_000);
        String bits = FormatSketch.text(WireSketch.bytes(bytes + expected));
        line.raw(bits, null, 0);
        line.idle(50_000);
        FrameLog log = line.record(1, false).decode(BusSamples.told(bus)).frames();
        assertEquals(1, log.wholeCount(), DecoderContractTest.rows(log).toString());
        byte[] all = WireSketch.bytes(bytes);
        assertEquals((all[1] & 0xFF) << 8 | all[2] & 0xFF, MessageKey.identifier(log.key(0)) & 0xFFFF);
    }

    /** The measured byte trace of a variable pulse width frame, microseconds as seen: 0x68 of 68 6A F1 01 00 17. */
    @Test
    void measuredPulses() {
        double[] passiveActive = {61, 63, 126, 127, 126, 127, 62, 127};
        FormatSketch line = BusSamples.sketch("j1850-vpw").idle(1000);
        line.level(0, 200);
        for (int i = 0; i < 8; i++) line.level(1 - i % 2, passiveActive[i]);
        String rest = FormatSketch.text(WireSketch.bytes("6AF1010017"));
        LineFormat.VariablePulse v = (LineFormat.VariablePulse) line.format.line();
        for (int i = 0; i < rest.length(); i++) {
            int level = 1 - i % 2;
            boolean brief = rest.charAt(i) == '1' == (level == 0);
            line.level(level, (brief ? v.shortPulse() : v.longPulse()).nominal());
        }
        line.idle(1000);
        FrameLog log = line.record(1, false).decode(BusSamples.told("j1850-vpw")).frames();
        assertEquals(1, log.wholeCount(), DecoderContractTest.rows(log).toString());
        assertEquals("0x686AF1", MessageKey.text(log.key(0)));
        assertArrayEquals(WireSketch.bytes("0100"), log.data(0));
    }

    /** Frame times computed from the symbols: 48 bits 4744 us, 80 bits 8072 us, and 280 us of end of frame. */
    @ParameterizedTest
    @CsvSource({"686AF1010017, 4744", "486B104100BE3EB811FA, 8072"})
    void frameTimes(String bytes, double micros) {
        FormatSketch line = BusSamples.sketch("j1850-vpw").idle(1000);
        line.raw(FormatSketch.text(WireSketch.bytes(bytes)), null, 0);
        FrameLog log = line.idle(1000).record(1, false).decode(BusSamples.told("j1850-vpw")).frames();
        assertEquals(micros + 280, (log.endPicos(0) - log.startPicos(0)) * 1e-6, 1e-3);
    }

    /**
     * Receive windows at both edges (open drivers "in accordance with SAE J1850", seen; upper end of a rest open): a frame
     * whose every short or long symbol is as long as given is read; a microsecond beyond the edge it is not.
     */
    @ParameterizedTest
    @CsvSource({"35, 128, 200, true", "33, 128, 200, false", "96, 128, 200, true", "64, 97, 200, true", "64, 163, 200, true",
        "64, 128, 164, true", "64, 128, 239, true", "64, 128, 162, false", "98, 128, 200, false", "64, 165, 200, false"})
    void receiveWindows(double brief, double lengthy, double start, boolean read) {
        FormatSketch line = BusSamples.sketch("j1850-vpw").idle(1000);
        line.level(0, start);
        String bits = FormatSketch.text(WireSketch.bytes("686AF1010017"));
        for (int i = 0; i < bits.length(); i++) {
            int level = 1 - i % 2;
            line.level(level, bits.charAt(i) == '1' == (level == 0) ? brief : lengthy);
        }
        FrameLog log = line.idle(1000).record(0.1, false).decode(BusSamples.told("j1850-vpw")).frames();
        assertEquals(read ? 1 : 0, log.wholeCount(), DecoderContractTest.rows(log).toString());
        assertTrue(log.size() >= 1, "what is no frame is still told");
    }

    /** Pulse width: a bit of 24 us, 7 us active for 1, 15 us for 0 (seen); observed 15/6 (seen). */
    @ParameterizedTest
    @CsvSource({"7, 15, 30, true", "6, 15, 31, true", "7, 15, 34, true", "10, 12, 31, true", "7, 22, 31, true", "12, 15, 31, false"})
    void pulseWidths(double one, double zero, double start, boolean read) {
        FormatSketch line = BusSamples.sketch("j1850-pwm").idle(500);
        line.level(0, start);
        line.level(1, 48 - start);
        String bits = FormatSketch.text(WireSketch.bytes("686AF1010017"));
        for (int i = 0; i < bits.length(); i++) {
            double active = bits.charAt(i) == '1' ? one : zero;
            line.level(0, active);
            line.level(1, 24 - active);
        }
        FrameLog log = line.idle(500).record(0.1, false).decode(BusSamples.told("j1850-pwm")).frames();
        assertEquals(read ? 1 : 0, log.wholeCount(), DecoderContractTest.rows(log).toString());
    }

    /** In-frame response: a short normalisation bit says that a check follows, a long one that none does (seen, open code). */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void inFrameResponse(boolean withCheck) {
        for (boolean wrong : new boolean[] {false, true}) {
            FormatSketch line = BusSamples.sketch("j1850-vpw").idle(1000);
            String bits = FormatSketch.text(WireSketch.bytes("616AF101000A"));
            line.level(0, 200);
            pulses(line, bits);
            line.level(1, 200);
            line.level(0, withCheck ? 64 : 128);
            String reply = withCheck ? "926B55" + (wrong ? "8D" : "8C") : "41";
            pulses(line, FormatSketch.text(WireSketch.bytes(reply)));
            FrameLog log = line.idle(1000).record(1, false).decode(BusSamples.told("j1850-vpw")).frames();
            assertEquals(1, log.size());
            assertEquals(withCheck && wrong ? FrameFault.RESPONSE_CHECK : FrameFault.NONE, log.fault(0));
            assertArrayEquals(WireSketch.bytes(reply), log.response(0));
            assertArrayEquals(WireSketch.bytes("0100"), log.data(0));
        }
    }

    private static void pulses(FormatSketch line, String bits) {
        for (int i = 0; i < bits.length(); i++) {
            int level = 1 - i % 2;
            line.level(level, bits.charAt(i) == '1' == (level == 0) ? 64 : 128);
        }
    }

    /** A break: active for 300 us (seen), longer than 239 us within a frame. */
    @Test
    void breakIsTold() {
        FormatSketch line = BusSamples.sketch("j1850-vpw").idle(1000);
        line.level(0, 300);
        line.idle(1000);
        line.frame(Map.of("priority", 3L, "no reply", 1L, "target", 0x6AL, "source", 0xF1L), (byte) 1, (byte) 0);
        line.idle(1000);
        FrameLog log = line.record(1, false).decode(BusSamples.told("j1850-vpw")).frames();
        assertEquals(2, log.size());
        assertEquals(FrameFault.BREAK, log.fault(0));
        assertEquals(FrameFault.NONE, log.fault(1));
    }

    /** 5-baud initialisation: 200 ms a bit, then 55, two key bytes, and two single bytes back (ISO 9141-2; seen). */
    @Test
    void slowInitialisation() {
        for (String bus : List.of("iso9141", "iso14230")) {
            FormatSketch line = BusSamples.sketch(bus).idle(400_000);
            double from = line.now;
            String address = FormatSketch.text(0x33, 8);
            line.level(0, 200_000);
            for (int i = 7; i >= 0; i--) line.level(address.charAt(i) - '0', 200_000);
            line.idle(200_000).idle(100_000);
            LineFormat.Bytes b = (LineFormat.Bytes) line.format.line();
            line.bytes(b, FormatSketch.text(WireSketch.bytes("55")), false);
            line.idle(10_000);
            line.bytes(b, FormatSketch.text(WireSketch.bytes("0808")), false);
            line.idle(30_000);
            line.bytes(b, FormatSketch.text(WireSketch.bytes("F7")), false);
            line.idle(30_000);
            line.bytes(b, FormatSketch.text(WireSketch.bytes("CC")), false);
            line.idle(60_000);
            String frame = bus.equals("iso9141") ? "686AF10100C4" : "C233F1010CF3";
            line.raw(FormatSketch.text(WireSketch.bytes(frame)), null, 0);
            FrameLog log = line.idle(100_000).record(1, false).decode(BusSamples.told(bus)).frames();
            assertEquals(5, log.size(), DecoderContractTest.rows(log).toString());
            assertEquals(from, log.startPicos(0) * 1e-6, 2);
            assertEquals(2_000_000, (log.endPicos(0) - log.startPicos(0)) * 1e-6, 10);
            assertArrayEquals(WireSketch.bytes("33"), log.data(0));
            assertArrayEquals(WireSketch.bytes("550808"), log.data(1));
            assertArrayEquals(WireSketch.bytes("F7"), log.data(2));
            for (int i = 0; i < 4; i++) assertEquals(FrameFault.SLOW_INITIALISATION, log.fault(i));
            assertEquals(FrameFault.NONE, log.fault(4));
        }
    }

    /** Fast initialisation: 25 +- 1 ms active, 50 +- 1 ms from edge to first byte (ISO 14230-2; memory). */
    @ParameterizedTest
    @CsvSource({"25000, true", "24100, true", "25900, true", "23500, false", "26500, false"})
    void fastInitialisation(double micros, boolean known) {
        FormatSketch line = BusSamples.sketch("iso14230").idle(400_000);
        line.level(0, micros);
        line.idle(50_000 - micros);
        line.raw(FormatSketch.text(WireSketch.bytes("C233F18166")), null, 0);
        // C2 says two bytes of data; this one has one: 81 is start communication and needs C1.
        line.idle(100_000);
        line.raw(FormatSketch.text(WireSketch.bytes("C133F18166")), null, 0);
        FrameLog log = line.idle(100_000).record(1, false).decode(BusSamples.told("iso14230")).frames();
        assertEquals(3, log.size(), DecoderContractTest.rows(log).toString());
        assertEquals(known ? FrameFault.FAST_INITIALISATION : FrameFault.NOISE, log.fault(0));
        assertEquals(FrameFault.LENGTH, log.fault(1));
        assertEquals(FrameFault.NONE, log.fault(2));
    }

    /** LIN nominal frame lengths in bits, header 34 and 10 for each byte (code comments quoting LIN 2.2A, seen; computed). */
    @ParameterizedTest
    @CsvSource({"1, 54", "2, 64", "4, 84", "8, 124"})
    void linLengths(int bytes, double bits) {
        FormatSketch line = BusSamples.sketch("lin").idle(5000);
        line.frame(Map.of("identifier", 0x21L), new byte[bytes]);
        FrameLog log = line.idle(5000).record(0.1, false).decode(BusSamples.told("lin")).frames();
        assertEquals(bits, (log.endPicos(0) - log.startPicos(0)) * 1e-6 / line.bitMicros, 0.05);
        assertEquals(34, (log.answerPicos(0) - log.startPicos(0)) * 1e-6 / line.bitMicros, 0.05, "the answer begins");
    }

    @Test
    void theFormatsSayWhatTheStandardsSay() {
        BusFormat can = BusFormats.builtIn("can");
        LineFormat.Stuffed line = (LineFormat.Stuffed) can.line();
        assertEquals(5, line.stuffAfter());
        assertEquals(new Kind.Crc(15, 0x4599, 0, false, false, 0), can.checks().get(0).kind());
        assertEquals(BusFormat.Arbitration.WHOLE_FRAME, BusFormats.builtIn("j1850-vpw").arbitration());
    }
}
