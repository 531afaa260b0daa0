package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.senders.CheckRule;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.FrameLogs.Payload;
import buswitness.testing.Payloads;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.IntFunction;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** Check sums, counters and documented values in the payload; each with an innocent twin. */
class PayloadTest {
    private static final long KEY = MessageKey.can(Scenes.ID, false);

    // Check sums.

    /**
     * Check values of the nine characters 123456789 in the public catalogue of CRC parameters: SAE J1850 0x4B (seen; start
     * 0xFF, inverted), polynomial 0x2F 0xDF (from memory; likewise), polynomial 0x07 0xF4 (from memory; start 0). A start
     * value is the same as its exclusive or with the first byte. Sum and exclusive or by hand: 9 * 0x35 = 0x1DD, 0x31.
     */
    @ParameterizedTest
    @CsvSource({"CRC_1D, 255, 255, 75", "CRC_2F, 255, 255, 223", "CRC_07, 0, 0, 244", "SUM, 0, 0, 221", "XOR, 0, 0, 49"})
    void rulesGiveTheirCheckValues(CheckRule rule, int begin, int invert, int check) {
        byte[] data = "123456789".getBytes(StandardCharsets.US_ASCII);
        data[0] ^= (byte) begin;
        assertEquals(check, rule.over(data, 0, data.length, -1) ^ invert);
    }

    /** Frames on a slow bus with their CRC (start 0xFF, inverted): one from a public trace, one printed widely. */
    @ParameterizedTest
    @CsvSource({"686AF10100, 17", "486B104100BE3EB811, FA"})
    void rulesGiveTheChecksOfRealFrames(String frame, String check) {
        byte[] data = HexFormat.of().parseHex(frame);
        data[0] ^= (byte) 0xFF;
        assertEquals(Integer.parseInt(check, 16), CheckRule.CRC_1D.over(data, 0, data.length, -1) ^ 0xFF);
    }

    /** Payloads with a value, a counter and a check byte. */
    private static byte[] checked(CheckRule rule, int at, int start, int count, SplittableRandom random) {
        byte[] data = new byte[8];
        data[(at + 2) % 8] = (byte) (100 + count / 40);
        data[(at + 3) % 8] = (byte) (random.nextInt(7) * 30);
        data[(at + 5) % 8] = (byte) (count & 15);
        int over = rule.over(data, 0, 8, at);
        data[at] = (byte) (rule.ordinal() < CheckRule.XOR.ordinal() ? start + over : start ^ over);
        return data;
    }

    @ParameterizedTest
    @EnumSource
    void findsTheCheckByte(CheckRule rule) {
        for (int at : new int[] {0, 4, 7}) {
            SplittableRandom random = new SplittableRandom(at);
            FrameLog log = log(300, i -> checked(rule, at, 0x5A, i, random));
            CheckByte found = CheckByte.find(log, all(log), Pages.NONE);
            assertNotNull(found, rule + " at " + at);
            assertEquals(at, found.at(), found.says());
            assertEquals(rule, found.rule(), found.says());
            assertEquals(0x5A, found.starts().get(0));
            assertTrue(found.chanceLog10() < -20, found.says());
            assertTrue(found.says().contains("held back"), found.says());
        }
    }

    /** Innocent twin: 300 logs of noisy bytes, counters and copies hold no check; the chance is 100 rules / 256^8 each. */
    @Test
    void findsNoCheckWhereThereIsNone() {
        for (int seed = 0; seed < 300; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            boolean noisy = seed % 2 == 0;
            FrameLog log = log(120, i -> new byte[] {(byte) random.nextInt(256), (byte) i, (byte) (i / 3), 7,
                noisy ? (byte) random.nextInt(256) : (byte) (random.nextInt(4) * 9), (byte) (i * 5)});
            assertNull(CheckByte.find(log, all(log), Pages.NONE));
        }
    }

    @Test
    void otherStartValueIsEvidenceAndTheSameIsNot() {
        SplittableRandom random = new SplittableRandom(3);
        FrameLog log = log(400, i -> checked(CheckRule.CRC_1D, 7, i % 2 == 0 || i >= 300 ? 0x10 : 0xC3, i / 2, random));
        int[] one = IntStream.range(0, 300).filter(i -> i % 2 == 0).toArray();
        CheckByte check = CheckByte.find(log, one, Pages.NONE);
        CheckByte.Other other = check.held(log, IntStream.range(0, 300).filter(i -> i % 2 == 1).toArray());
        assertTrue(check.strength(other) > Strength.STRONG, check.says(other));
        assertTrue(check.says(other).contains("another start value (apart by 0xD3"), check.says(other));
        CheckByte.Other same = check.held(log, IntStream.range(300, 400).toArray());
        assertEquals(0, check.strength(same), check.says(same));
        assertTrue(check.says(same).contains("tells nothing"), check.says(same));
    }

    /** Two nodes that say the same but for the start value of the check, on two clocks: only the check tells. */
    @Test
    void clashIsFoundByTheCheckAlone() {
        for (long seed = 1; seed <= 3; seed++) {
            Payload one = sharing(0x00);
            Payload two = sharing(0x77);
            Made made = Scenes.bus(seed).with(3, f -> {
                f[0].every(Scenes.ID, 0.1, 0.013, one);
                f[1].every(Scenes.ID, 0.1, 0.043, two);
            });
            MessageFinding found = ClashesTest.judge(made).message(KEY);
            assertEquals(Verdict.TWO_SENDERS, found.verdict(), found.evidence().toString());
            assertTrue(payload(found).says().contains("another start value"), payload(found).says());
        }
    }

    /** Innocent twin: one node sends the message from two tasks, each with its own start value. */
    @Test
    void twoTasksWithTheirOwnStartValuesAreInnocent() {
        for (long seed = 1; seed <= 4; seed++) {
            Made made = Scenes.bus(seed).with(3, f -> {
                f[0].every(Scenes.ID, 0.1, 0.013, sharing(0x00));
                f[0].every(Scenes.ID, 0.1, 0.061, sharing(0x77));
            });
            assertNotEquals(Verdict.TWO_SENDERS, ClashesTest.judge(made).message(KEY).verdict(), "seed " + seed);
        }
    }

    /** A reading that all nodes share, told with noise, and a CRC-8 over it. */
    private static Payload sharing(int start) {
        return (count, seconds, random) -> {
            byte[] data = new byte[6];
            data[0] = (byte) (100 + 60 * Math.sin(seconds) + random.nextInt(9));
            data[1] = (byte) random.nextInt(64);
            data[5] = (byte) (start ^ CheckRule.CRC_2F.over(data, 0, 6, 5));
            return data;
        };
    }

    /** A check byte moves with what it covers and must not stand as a second value: its bits are not asked. */
    @Test
    void checkByteIsNoValueTrack() {
        SplittableRandom random = new SplittableRandom(5);
        FrameLog log = log(200, i -> checked(CheckRule.XOR, 7, 0, i, random));
        CheckByte check = CheckByte.find(log, all(log), Pages.NONE);
        assertEquals(0xFFL, check.mask());
        // The exclusive or with a steady rest steps like the counter it covers; with the mask no field counts twice.
        Counters counters = Counters.compare(log, even(log), odd(log), Pages.NONE, check.mask(), null);
        assertTrue(counters.first() + counters.width() <= 56, counters.says());
    }

    // Counters.

    @Test
    void twoInterleavedCountersAreTwoChains() {
        FrameLog log = log(200, i -> new byte[] {1, (byte) ((i / 2 + (i % 2) * 6) & 15)});
        Counters c = Counters.compare(log, even(log), odd(log), Pages.NONE, 0, null);
        assertEquals(12, c.first());
        assertEquals(4, c.width());
        assertEquals(1, c.step());
        assertEquals(0, c.breaksTwo());
        assertTrue(c.breaksOne() >= 99, c.says());
        assertTrue(c.strength() > 6, c.says());
        assertTrue(c.says().contains("for two"), c.says());
    }

    @Test
    void oneCounterThroughBothTrainsIsOneChain() {
        FrameLog log = log(200, i -> new byte[] {1, (byte) (i & 15)});
        Counters c = Counters.compare(log, even(log), odd(log), Pages.NONE, 0, null);
        assertEquals(0, c.breaksOne(), c.says());
        assertEquals(0, c.strength(), c.says());
    }

    /** A node that repeats its last frame at once on a change: the counter stands still there. */
    @Test
    void repeatsOfTheLastFrameAreOneChain() {
        SplittableRandom random = new SplittableRandom(1);
        List<Boolean> repeats = new ArrayList<>();
        for (int i = 0; i < 300; i++) repeats.add(i > 0 && !repeats.get(i - 1) && random.nextInt(4) == 0);
        int[] value = new int[300];
        for (int i = 1; i < 300; i++) value[i] = value[i - 1] + (repeats.get(i) ? 0 : 1);
        FrameLog log = log(300, i -> new byte[] {1, (byte) (value[i] & 15)});
        Counters c = Counters.compare(log, where(repeats, false), where(repeats, true), Pages.NONE, 0, null);
        assertTrue(c.strength() < 1, c.says());
    }

    /** An alive counter that jumps, as a fault or a restart makes it, is no chain and so says nothing. */
    @Test
    void jumpingAliveCounterSaysNothing() {
        SplittableRandom random = new SplittableRandom(2);
        FrameLog log = log(300, i -> new byte[] {1, (byte) (random.nextInt(3) == 0 ? random.nextInt(16) : i & 15)});
        Counters c = Counters.compare(log, even(log), odd(log), Pages.NONE, 0, null);
        assertTrue(c == null || c.strength() == 0, () -> c.says());
    }

    /** Each page counts for itself; both trains send all pages in turn. */
    @Test
    void counterOfEachPageIsOneChainAPage() {
        int[] counts = new int[3];
        FrameLog log = log(300, i -> new byte[] {(byte) (i % 3), (byte) (counts[i % 3]++ * 3 + 40 * (i % 3)), (byte) (i % 3 * 50)});
        Pages pages = Pages.find(log, all(log), null, 0);
        assertEquals(3, pages.pages());
        Counters c = Counters.compare(log, even(log), odd(log), pages, 0, null);
        assertNotNull(c);
        assertEquals(0, c.strength(), c.says());
    }

    private static final List<String> TWINS = List.of("a jumping alive counter", "two mailboxes that count for themselves",
            "pages", "pages that count for themselves", "pages that count for themselves from two tasks");

    /** Whole buses with one sender of the message. */
    @Test
    void innocentTwinsAreNotAccused() {
        for (int twin = 0; twin < TWINS.size(); twin++) {
            for (long seed = 1; seed <= 4; seed++) {
                int which = twin;
                Made made = Scenes.bus(seed).with(3, f -> twin(f[0], which));
                ClashFindings found = ClashesTest.judge(made);
                assertNotEquals(ClashFindings.Answer.YES, found.clash(), TWINS.get(twin) + ", seed " + seed);
            }
        }
    }

    private static void twin(Scenes.Unit node, int which) {
        switch (which) {
            case 0 -> node.every(Scenes.ID, 0.1, 0.013, (count, t, random) -> new byte[] {9,
                (byte) (random.nextInt(4) == 0 ? random.nextInt(16) : count & 15)});
            case 1 -> {
                node.every(Scenes.ID, 0.1, 0.013, (count, t, random) -> new byte[] {9, (byte) (count & 15)});
                node.every(Scenes.ID, 0.1, 0.061, (count, t, random) -> new byte[] {9, (byte) (count + 7 & 15)});
            }
            case 2 -> node.every(Scenes.ID, 0.1, 0.013, (count, t, random) -> new byte[] {(byte) (count % 4),
                (byte) (count % 4 * 60), 3});
            case 3 -> node.every(Scenes.ID, 0.1, 0.013, (count, t, random) -> new byte[] {(byte) (count % 4),
                (byte) (count % 4 * 60 + (count / 4 & 15)), 3});
            default -> {
                node.every(Scenes.ID, 0.2, 0.013, (count, t, random) -> new byte[] {0, (byte) (count & 15), 3});
                node.every(Scenes.ID, 0.2, 0.113, (count, t, random) -> new byte[] {1, (byte) (count + 5 & 15), 3});
            }
        }
    }

    @Test
    void figuresOfBothReadingsStandInTheFinding() {
        Made made = Scenes.clashing().get("two counters").apply(1);
        String says = payload(ClashesTest.judge(made).message(KEY)).says();
        assertTrue(says.contains("two chains break") && says.contains("one chain") && says.contains("likelihood ratio"), says);
    }

    // With a layout.

    private static final String LAYOUT = """
            messages:
              level:
                id: 0x1D0
                length: 2
                carries:
                  fuel level: {bits: 0..15, unit: l}
            """;

    /** A value whose every bit is restless: carries run through all of them, so only as a number does it keep a track. */
    @Test
    void documentedValueIsATrackWhereItsBitsAreNot() {
        Payload one = restless(0);
        Payload two = restless(3000);
        Made made = Scenes.bus(2).with(3, f -> {
            f[0].every(Scenes.ID, 0.1, 0.013, one);
            f[1].every(Scenes.ID, 0.1, 0.043, two);
        });
        Layout layout = Layouts.parse(LAYOUT, "test");
        Evidence with = payload(judge(made, layout).message(KEY));
        assertTrue(with.says().contains("\"fuel level\" moves by no more than"), with.says());
        assertTrue(with.strength() > Strength.STRONG, with.says());
    }

    /** A value that takes few levels looks like a page's number; a layout that knows it as a value settles it. */
    @Test
    void documentedValueIsNoPage() {
        FrameLog log = log(120, i -> new byte[] {(byte) (i / 2 % 3 * 16), (byte) (i / 2 % 3 * 77)});
        assertEquals(3, Pages.find(log, all(log), null, 0).pages());
        assertEquals(Pages.NONE, Pages.find(log, all(log), Layouts.parse(LAYOUT, "test").messages().get(0), 0));
        String paged = LAYOUT.replace("fuel level: {bits: 0..15, unit: l}",
                "fuel level: {bits: 8..15, unit: l, page: {bits: 0..7, is: 16}}");
        assertEquals(8, Pages.find(log, all(log), Layouts.parse(paged, "test").messages().get(0), 0).width());
    }

    private static Payload restless(int offset) {
        return (count, seconds, random) -> {
            int value = 32768 + offset + random.nextInt(101) - 50;
            return new byte[] {(byte) (value >> 8), (byte) value};
        };
    }

    /** Innocent twin: the same restless value from two tasks of one node, with and without the layout. */
    @Test
    void restlessValueOfOneNodeIsInnocent() {
        Made made = Scenes.bus(2).with(3, f -> {
            f[0].every(Scenes.ID, 0.1, 0.013, restless(0));
            f[0].every(Scenes.ID, 0.1, 0.061, restless(0));
        });
        MessageFinding found = judge(made, Layouts.parse(LAYOUT, "test")).message(KEY);
        assertNotEquals(Verdict.TWO_SENDERS, found.verdict());
        Evidence payload = payload(found);
        assertTrue(payload == null || payload.strength() < 1, () -> payload.says());
    }

    private static ClashFindings judge(Made made, Layout layout) {
        return Clashes.judge(made.log(), made.bus(), made.gaps(),
                Senders.find(made.log(), made.bus(), made.gaps(), layout), layout);
    }

    private static Evidence payload(MessageFinding found) {
        return found.evidence().stream().filter(e -> e.kind() == Evidence.Kind.PAYLOAD).findFirst().orElse(null);
    }

    private static FrameLog log(int frames, IntFunction<byte[]> payload) {
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        for (int i = 0; i < frames; i++) {
            row.clear();
            row.key = KEY;
            row.startPicos = i * 50_000_000_000L;
            row.endPicos = row.startPicos + 1_000_000_000L;
            byte[] data = payload.apply(i);
            row.lengthCode = row.dataLength = data.length;
            System.arraycopy(data, 0, row.data, 0, data.length);
            log.add(row);
        }
        return log;
    }

    private static int[] all(FrameLog log) {
        return IntStream.range(0, log.size()).toArray();
    }

    private static int[] even(FrameLog log) {
        return IntStream.range(0, log.size()).filter(i -> i % 2 == 0).toArray();
    }

    private static int[] odd(FrameLog log) {
        return IntStream.range(0, log.size()).filter(i -> i % 2 == 1).toArray();
    }

    private static int[] where(List<Boolean> flags, boolean wanted) {
        return IntStream.range(0, flags.size()).filter(i -> flags.get(i) == wanted).toArray();
    }
}
