package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.problem.NoticeLog;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.Supplier;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** One contract for every coding: what was sent is read; cut or damaged anywhere, nothing is lost and nothing invented. */
class EveryBusContractTest {
    static List<String> buses() {
        return BusSamples.ALL;
    }

    static void assertRead(FormatSketch line, FrameLog log, String what) {
        assertEquals(line.sent.size(), log.size(), () -> what + ": " + DecoderContractTest.rows(log));
        for (int i = 0; i < log.size(); i++) {
            FormatSketch.Sent sent = line.sent.get(i);
            int at = i;
            // Written out only where it is wanted: rows in words cost more than all the decoding.
            Supplier<String> row = () -> what + ", frame " + at + " of " + sent.bits() + ": "
                    + DecoderContractTest.rows(log).get(at);
            assertEquals(FrameFault.NONE, log.fault(i), row);
            assertEquals(sent.startMicros(), log.startPicos(i) * 1e-6, 11, row);
            assertArrayEquals(sent.data(), log.data(i), row);
            assertEquals(sent.name(), MessageKey.identifier(log.key(i)) & sent.mask(), row);
        }
    }

    @ParameterizedTest
    @MethodSource("buses")
    void whatWasSentIsRead(String bus) {
        FormatSketch line = BusSamples.traffic(bus, 60, 5);
        assertRead(line, line.record(1, false).decode(BusSamples.told(bus)).frames(), bus);
    }

    @ParameterizedTest
    @MethodSource("buses")
    void framesDoNotDependOnHowTheInputIsChopped(String bus) {
        WireSketch.Recorded recorded = BusSamples.traffic(bus, 40, 11).record(1, true, 2, 3);
        FrameReader whole = new FrameReader(BusSamples.told(bus), 0, new NoticeLog(10));
        recorded.feed(whole, EdgeBlock.CAPACITY);
        List<String> rows = DecoderContractTest.rows(whole.finish().frames());
        for (int atOnce : new int[] {1, 7}) {
            FrameReader chopped = new FrameReader(BusSamples.told(bus), 0, new NoticeLog(10));
            recorded.feed(chopped, atOnce);
            assertEquals(whole.finish().bus(), chopped.finish().bus());
            assertEquals(rows, DecoderContractTest.rows(chopped.finish().frames()));
        }
    }

    /** Index of the row that is frame {@code i} as sent, or -1. */
    private static int find(FrameLog log, FormatSketch.Sent sent) {
        for (int r = 0; r < log.size(); r++) {
            boolean there = log.isWhole(r) && Math.abs(log.startPicos(r) * 1e-6 - sent.startMicros()) < 3;
            if (there && Arrays.equals(log.data(r), sent.data())) return r;
        }
        return -1;
    }

    /** The recording begins or ends anywhere: frames inside are whole, what is on the cut is cut, nothing is invented. */
    @ParameterizedTest
    @MethodSource("buses")
    void cutAnywhere(String bus) {
        FormatSketch line = BusSamples.traffic(bus, 5, 21);
        WireSketch.Recorded recorded = line.record(1, false);
        FormatSketch.Sent third = line.sent.get(2);
        double from = line.sent.get(1).endMicros();
        double until = third.endMicros();
        for (double cut = from; cut < until; cut += (until - from) / 83) {
            FrameLog tail = decode(bus, recorded, Math.round(cut * 1e6), recorded.endPicos());
            double at = cut;
            Supplier<String> what = () -> bus + " from " + at + ": " + DecoderContractTest.rows(tail);
            assertTrue(find(tail, line.sent.get(3)) >= 0 && find(tail, line.sent.get(4)) >= 0, what);
            for (int i = 0; i < tail.size(); i++) assertKnown(line, tail, i, what);
            if (cut < third.startMicros() - line.restMicros()) assertTrue(find(tail, third) >= 0, what);
            if (cut > third.startMicros() + 3) assertEquals(-1, find(tail, third), what);

            FrameLog head = decode(bus, recorded, 0, Math.round(cut * 1e6));
            Supplier<String> headTells = () -> bus + " until " + at + ": " + DecoderContractTest.rows(head);
            assertTrue(find(head, line.sent.get(0)) >= 0, headTells);
            for (int i = 0; i < head.size(); i++) assertKnown(line, head, i, headTells);
            if (cut > third.startMicros() + line.shortestMicros() && cut < third.endMicros()) {
                int last = head.size() - 1;
                assertTrue(head.size() == 3 && Math.abs(head.startPicos(last) * 1e-6 - third.startMicros()) < 3, headTells);
                assertEquals(cut, head.endPicos(last) * 1e-6, line.restMicros() / 2, headTells);
            }
        }
    }

    /** A row is a frame that was sent, or tells a fault; the fault of a cut is the cut. */
    private static void assertKnown(FormatSketch line, FrameLog log, int i, Supplier<String> what) {
        boolean sent = false;
        for (FormatSketch.Sent s : line.sent) sent |= find(log, s) == i;
        assertTrue(sent || !log.isWhole(i), () -> "invented; " + what.get());
        if (!sent) assertTrue(log.fault(i) == FrameFault.CUT || cutLooksSo(log, i), what);
    }

    /** A frame without its beginning may look like one without its header, or like stray activity. */
    private static boolean cutLooksSo(FrameLog log, int i) {
        return i == 0 && log.startPicos(i) >= 0;
    }

    private static FrameLog decode(String bus, WireSketch.Recorded recorded, long from, long until) {
        FrameReader reader = new FrameReader(BusSamples.told(bus), 0, new NoticeLog(10));
        recorded.feed(reader, 64, from, until);
        return reader.finish().frames();
    }

    /**
     * One frame damaged anywhere: a level turned over for the length of the shortest symbol. The others stand, the
     * damage is told and lies where it was done; a damage that leaves a frame looking whole is one the check cannot see.
     */
    @ParameterizedTest
    @MethodSource("buses")
    void damagedAnywhere(String bus) {
        int invented = 0;
        int rounds = 0;
        int untold = 0;
        for (long seed = 1; seed <= 2; seed++) {
            FormatSketch line = BusSamples.traffic(bus, 5, 40 + seed);
            FormatSketch.Sent third = line.sent.get(2);
            double symbol = line.shortestMicros();
            for (double at = third.startMicros(); at < third.endMicros(); at += line.isBits() ? symbol : symbol * 0.73) {
                FrameLog log = line.turned(at, at + symbol).record(1, false).decode(BusSamples.told(bus)).frames();
                String where = bus + " seed " + seed + " turned at " + at + " of " + third + ": ";
                Supplier<String> what = () -> where + DecoderContractTest.rows(log);
                for (int frame : new int[] {0, 1, 3, 4}) {
                    assertTrue(find(log, line.sent.get(frame)) >= 0, () -> frame + " lost; " + what.get());
                }
                int others = 0;
                for (int i = 0; i < log.size(); i++) {
                    boolean known = false;
                    for (FormatSketch.Sent s : line.sent) known |= find(log, s) == i;
                    if (known) continue;
                    others++;
                    if (log.isWhole(i)) invented++;
                    double start = log.startPicos(i) * 1e-6;
                    assertTrue(start > third.startMicros() - symbol - 3 && start < third.endMicros() + symbol, () -> "damage outside; " + what.get());
                    assertTrue(log.endPicos(i) * 1e-6 < line.sent.get(3).startMicros() + 3, () -> "damage runs on; " + what.get());
                }
                boolean stands = find(log, third) >= 0;
                assertTrue(stands || others > 0, () -> "lost; " + what.get());
                if (stands && others == 0) {
                    untold++;
                    assertTrue(!line.isBits() || line.harmless(at, third), () -> "damage not told; " + what.get());
                }
                rounds++;
            }
        }
        assertTrue(rounds > 100);
        // A pulse may be bent within its receive window, and the rest that ends a frame tells nothing.
        assertTrue(untold * 4 < rounds, untold + " of " + rounds + " not told on " + bus);
        // Checks of eight bits let one damage in 256 pass; two alternatives twice as many.
        assertTrue(invented <= 2 + rounds / 60, invented + " whole frames that nobody sent, of " + rounds + " on " + bus);
    }

    /** Random levels: whatever is read lies in order, and is hardly ever whole. */
    @ParameterizedTest
    @MethodSource("buses")
    void noiseIsNotTakenForFrames(String bus) {
        Random random = new Random(6);
        FormatSketch line = BusSamples.sketch(bus);
        line.idle(4 * line.restMicros());
        double symbol = line.shortestMicros();
        int level = 0;
        for (int i = 0; i < 8_000; i++) {
            line.level(level, symbol * (0.5 + 4 * random.nextDouble()));
            level = 1 - level;
            if (random.nextInt(60) == 0) {
                line.idle(line.restMicros());
                level = 0;
            }
        }
        FrameLog log = line.idle(4 * line.restMicros()).record(1, false)
                .decode(new FrameReader.Options(bus, BusSamples.rate(bus), Double.NaN, BusSamples.format(bus), Double.NaN)).frames();
        double apart = line.isBits() ? 1.25e6 * line.bitMicros : 2_000_000;
        assertTrue(log.size() > 10, bus + " " + log.size());
        for (int i = 1; i < log.size(); i++) {
            assertTrue(log.startPicos(i) >= log.endPicos(i - 1) - apart, bus + ": overlap at " + i + " "
                    + DecoderContractTest.rows(log).subList(i - 1, i + 1));
        }
        assertTrue(log.wholeCount() <= log.size() / 40 + 1, bus + ": " + log.wholeCount() + " whole of " + log.size());
    }
}
