package buswitness.map;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.IntFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PayloadStructureTest {
    private static PayloadRows rows(int count, IntFunction<byte[]> payload) {
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        int[] frames = new int[count];
        for (int i = 0; i < count; i++) {
            row.clear();
            row.startPicos = i * 10_000_000_000L;
            row.endPicos = row.startPicos + 100_000_000L;
            row.key = MessageKey.can(0x123, false);
            byte[] data = payload.apply(i);
            row.dataLength = row.lengthCode = data.length;
            System.arraycopy(data, 0, row.data, 0, data.length);
            log.add(row);
            frames[i] = i;
        }
        return PayloadRows.of(List.of(new PayloadRows.Stream(log, frames)));
    }

    private static int crc8(int polynomial, boolean reflected, int start, int last, byte[] data) {
        int[] table = CheckFinder.table(polynomial, reflected);
        int crc = start;
        for (byte b : data) crc = table[(crc ^ b) & 0xFF];
        return crc ^ last;
    }

    /**
     * Check values of "123456789": CRC-8/SAE-J1850 0x4B (catalogue of parametrised CRC algorithms, seen in excerpt; AUTOSAR
     * SWS CRC library); CRC-8/SMBUS 0xF4, CRC-8/MAXIM 0xA1, CRC-8/AUTOSAR 0xDF (the same catalogue, from memory).
     */
    @ParameterizedTest
    @CsvSource({"0x1D,false,0xFF,0xFF,0x4B", "0x07,false,0,0,0xF4", "0x31,true,0,0,0xA1", "0x2F,false,0xFF,0xFF,0xDF"})
    void tablesGiveThePublishedCheckValues(String polynomial, boolean reflected, String start, String last, String want) {
        byte[] digits = "123456789".getBytes(StandardCharsets.US_ASCII);
        assertEquals(Integer.decode(want), crc8(Integer.decode(polynomial), reflected, Integer.decode(start),
                Integer.decode(last), digits));
    }

    /** AUTOSAR SWS CRC Library, table of 8-bit SAE J1850 results; recomputed. */
    @ParameterizedTest
    @CsvSource({"00000000,59", "F20183,37", "0FAA0055,79", "00FF5511,B8", "332255AABBCCDDEEFF,CB", "926B55,8C", "FFFFFFFF,74"})
    void saeJ1850VectorsOfTheAutosarLibrary(String data, String want) {
        assertEquals(Integer.parseInt(want, 16), crc8(0x1D, false, 0xFF, 0xFF, HexFormat.of().parseHex(data)));
    }

    @ParameterizedTest
    @CsvSource({"xor", "sum", "complement", "carry", "crc 0x1D", "crc 0x2F", "crc 0x9B"})
    void findsEachFamilyOfCheckSumsAndConfirmsItOnPayloadsHeldBack(String family) {
        SplittableRandom random = new SplittableRandom(7);
        PayloadRows rows = rows(200, i -> {
            byte[] data = {(byte) i, (byte) (i / 7), (byte) random.nextInt(256), 0x33, 0};
            byte[] others = {data[0], data[1], data[2], data[3]};
            int sum = (data[0] & 0xFF) + (data[1] & 0xFF) + (data[2] & 0xFF) + 0x33;
            data[4] = (byte) switch (family) {
                case "xor" -> 0x5A ^ data[0] ^ data[1] ^ data[2] ^ data[3];
                case "sum" -> sum + 17;
                case "complement" -> -sum - 1;
                case "carry" -> 0xFF - sum % 255;
                default -> crc8(Integer.decode(family.substring(4)), false, 0xFF, 0xFF, others);
            };
            return data;
        });
        CheckFinder.Found found = new CheckFinder(rows).find();
        assertNotNull(found, family);
        assertEquals(4, found.at());
        assertTrue(found.confirmed() >= 99 && found.confirmed() == found.heldBack(), found.toString());
        assertTrue(found.logChance() < -20, "chance 10^" + found.logChance());
        String word = family.startsWith("crc") ? family.substring(4) : family.equals("xor") ? "exclusive or" : "sum";
        assertTrue(found.formula().contains(word), found.formula());
    }

    /** Nothing is a check where bytes are drawn at random: 40 messages, some thousand formulas each. */
    @Test
    void findsNoCheckInRandomBytes() {
        for (int seed = 0; seed < 40; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            int length = 2 + seed % 7;
            assertNull(new CheckFinder(rows(80, i -> {
                byte[] data = new byte[length];
                random.nextBytes(data);
                return data;
            })).find(), "seed " + seed);
        }
    }

    /** A byte that repeats another is no check sum of it. */
    @Test
    void aCopyIsNoCheck() {
        SplittableRandom random = new SplittableRandom(3);
        assertNull(new CheckFinder(rows(100, i -> {
            byte v = (byte) random.nextInt(256);
            return new byte[] {v, 0, v};
        })).find());
    }

    /** By arithmetic: of 2^k steps of a counter, bit k turns once in 2^k frames. */
    @Test
    void flipRatesOfACounterAreItsPowersOfTwo() {
        PayloadRows rows = rows(256 * 4 + 1, i -> new byte[] {(byte) i});
        BitFlips flips = new BitFlips(rows, rows.before(-1, 0));
        for (int bit = 0; bit < 8; bit++) assertEquals(Math.pow(0.5, 7 - bit), flips.rate(bit), 1e-12);
    }

    @ParameterizedTest
    @CsvSource({"16,1,4", "15,1,4", "16,3,4", "256,1,8", "16,15,4"})
    void findsCountersOfAnyStepAndRange(int modulo, int step, int width) {
        PayloadRows rows = rows(700, i -> new byte[] {0x12, (byte) ((i * step) % modulo)});
        PayloadField counter = only(PayloadStructure.of(rows), FieldKind.COUNTER);
        assertEquals(16 - width, counter.firstBit());
        assertEquals(width, counter.width());
    }

    @Test
    void findsPagesAndReadsEachForItself() {
        PayloadRows rows = rows(600, i -> {
            int page = i % 3;
            int value = page == 0 ? 100 + i / 60 : page == 1 ? 7 : 200 - i / 40;
            return new byte[] {(byte) page, (byte) value, (byte) (page == 2 ? i / 9 : 0)};
        });
        List<PayloadField> fields = PayloadStructure.of(rows);
        PayloadField page = only(fields, FieldKind.PAGE);
        assertTrue(page.firstBit() <= 6 && page.endBit() == 8, page.toString());
        assertEquals(3, fields.stream().filter(f -> f.page() != null).map(f -> f.page().value()).distinct().count());
        assertTrue(fields.stream().anyMatch(f -> f.page() != null && f.page().value() == 2 && f.kind() == FieldKind.VALUE
                && f.firstBit() <= 18 && f.endBit() == 24), fields.toString());
    }

    @Test
    void readsByteOrderSignAndFlags() {
        PayloadRows rows = rows(4000, i -> {
            int low = (int) Math.round(30000 + 25000 * Math.sin(i / 310.0));
            int signed = (int) Math.round(900 * Math.sin(i / 470.0)) & 0xFFFF;
            return new byte[] {(byte) low, (byte) (low >> 8), (byte) (signed >> 8), (byte) signed,
                (byte) (i / 130 % 2 << 5 | i / 210 % 2 << 4)};
        });
        List<PayloadField> fields = PayloadStructure.of(rows);
        PayloadField first = at(fields, 0);
        assertTrue(first.lowByteFirst() && first.width() == 16, first.toString());
        PayloadField second = at(fields, 16);
        assertTrue(second.signed() && second.width() == 16 && !second.lowByteFirst(), second.toString());
        assertEquals(-900, second.least());
        assertEquals(FieldKind.FLAG, at(fields, 34).kind());
        assertEquals(FieldKind.FLAG, at(fields, 35).kind());
    }

    /** Few frames say little: bits that turned once or twice are not cut into flags. */
    @Test
    void fewFramesLeaveBitsUnclear() {
        SplittableRandom random = new SplittableRandom(11);
        List<PayloadField> fields = PayloadStructure.of(rows(20, i -> new byte[] {(byte) random.nextInt(256)}));
        assertFalse(fields.stream().anyMatch(f -> f.kind() == FieldKind.FLAG), fields.toString());
    }

    /** All of n hits: the bound is the chance itself, p^n. */
    @Test
    void hoeffdingsBoundIsExactWhereEveryTrialHits() {
        assertEquals(10 * Math.log10(0.5), Chance.atLeast(10, 10, 0.5), 1e-12);
        assertEquals(0, Chance.atLeast(5, 10, 0.5));
    }

    private static PayloadField only(List<PayloadField> fields, FieldKind kind) {
        List<PayloadField> all = fields.stream().filter(f -> f.kind() == kind).toList();
        assertEquals(1, all.size(), fields.toString());
        return all.get(0);
    }

    private static PayloadField at(List<PayloadField> fields, int bit) {
        return fields.stream().filter(f -> f.firstBit() <= bit && bit < f.endBit()).findFirst().orElseThrow();
    }
}
