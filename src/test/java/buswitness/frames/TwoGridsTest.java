package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.schema.LineFormat;
import buswitness.senders.Senders;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Two answers to one LIN header on two bit grids, and what one node alone can do that looks nearly so. Levels are drawn by
 * hand, one tick a microsecond, 19.2 kbit/s.
 */
class TwoGridsTest {
    private static final double BIT = 1e6 / 19_200;
    private static final long KEY = MessageKey.of(0x21, 2);

    private final Random random = new Random(7);
    private final FormatSketch line = BusSamples.sketch("lin").idle(20_000);

    private MessageFinding judged() {
        Decoded decoded = line.record(1, false).decode(BusSamples.told("lin"));
        ClashFindings found = Clashes.judge(decoded.frames(), decoded.bus(), decoded.gaps(),
                Senders.find(decoded.frames(), decoded.bus(), decoded.gaps(), null), null);
        return found.message(KEY);
    }

    /** A second message that is well, so that the line is not simply bad. */
    private void other() {
        line.frame(Map.of("identifier", 0x05L), (byte) random.nextInt(256), (byte) 3);
        line.idle(9_000);
    }

    private void header() {
        LineFormat.Bytes bytes = (LineFormat.Bytes) line.format.line();
        // 55 and the protected identifier 61 of the published table.
        line.bytes(bytes, FormatSketch.text(0x55, 8) + FormatSketch.text(0x61, 8), true);
        line.idle(100);
    }

    /** One byte as levels over time, its first bit {@code late} microseconds from now: level by microsecond tenth. */
    private static void draw(int[] wire, int value, double late, double bit) {
        for (int n = 0; n < 10; n++) {
            int level = n == 0 ? 0 : n == 9 ? 1 : value >>> n - 1 & 1;
            if (level == 1) continue;
            for (int t = (int) Math.round(10 * (late + n * bit)); t < Math.round(10 * (late + (n + 1) * bit)); t++) wire[t] = 0;
        }
    }

    private void put(int[] wire) {
        int from = 0;
        for (int t = 1; t <= wire.length; t++) {
            if (t < wire.length && wire[t] == wire[from]) continue;
            line.level(wire[from], (t - from) / 10.0);
            from = t;
        }
        line.idle(9_000);
    }

    private static int[] rest(double micros) {
        int[] wire = new int[(int) (10 * micros)];
        java.util.Arrays.fill(wire, 1);
        return wire;
    }

    @ParameterizedTest
    @ValueSource(doubles = {0.25, 0.3, 0.45, 0.6, 1.5})
    void twoNodesAreTold(double laterBits) {
        for (int k = 0; k < 300; k++) {
            other();
            header();
            int[] wire = rest(14 * BIT);
            draw(wire, 0x30 + random.nextInt(16), 0, BIT * 1.003);
            draw(wire, 0xC0 + random.nextInt(64), laterBits * BIT, BIT * 0.996);
            put(wire);
        }
        MessageFinding found = judged();
        assertEquals(Verdict.TWO_SENDERS, found.verdict(), found.evidence().toString());
        assertTrue(found.evidence().stream().anyMatch(e -> e.says().contains("two bit grids")), found.evidence().toString());
    }

    /** Half bits abound where every answer is two nodes' half a bit apart: the bus and its rate are found all the same. */
    @Test
    void theRateIsFoundThoughHalfBitsAbound() {
        for (int k = 0; k < 200; k++) {
            header();
            int[] wire = rest(14 * BIT);
            draw(wire, 0x55, 0, BIT);
            draw(wire, 0xD5 | random.nextInt(64), 0.5 * BIT, BIT);
            put(wire);
        }
        Decoded decoded = line.record(1, false).decode();
        assertEquals("lin", decoded.bus().coding(), decoded.bus().toString());
        assertEquals(19_200, decoded.bus().bitsPerSecond(), 200, decoded.bus().toString());
    }

    /** A node whose software stops for half a bit within its byte: all edges after that are late. */
    @ParameterizedTest
    @ValueSource(doubles = {0.1, 0.4, 0.5, 0.7})
    void aPauseWithinAByteIsOneNode(double pauseBits) {
        for (int k = 0; k < 300; k++) {
            other();
            header();
            LineFormat.Bytes bytes = (LineFormat.Bytes) line.format.line();
            int value = random.nextInt(256);
            int pausesAt = 1 + random.nextInt(7);
            for (int n = 0; n < 10; n++) {
                int level = n == 0 ? 0 : n == 9 ? 1 : value >>> n - 1 & 1;
                line.level(level, BIT * (n == pausesAt ? 1 + pauseBits : 1));
            }
            assertEquals(1, bytes.stopBits());
            line.idle(9_000);
        }
        assertNotEquals(Verdict.TWO_SENDERS, judged().verdict());
    }

    /** Pulses of interference anywhere in the bytes of one node. */
    @Test
    void interferenceIsNoSecondNode() {
        for (int k = 0; k < 400; k++) {
            other();
            header();
            int[] wire = rest(14 * BIT);
            draw(wire, random.nextInt(256), 0, BIT);
            int from = (int) (10 * (BIT + random.nextDouble() * 8 * BIT));
            for (int t = from; t < from + 10 * (10 + random.nextInt(60)); t++) wire[t] = 0;
            put(wire);
        }
        assertNotEquals(Verdict.TWO_SENDERS, judged().verdict());
    }

    /** A pulse that always comes so long after the byte's start, as from a load that its node switches: one place only. */
    @Test
    void aPulseInStepWithTheFrameIsNoSecondNode() {
        for (int k = 0; k < 300; k++) {
            other();
            header();
            int[] wire = rest(14 * BIT);
            draw(wire, 0xC0 | random.nextInt(64) & 0x33, 0, BIT);
            for (int t = (int) (10 * 3.4 * BIT); t < 10 * 3.8 * BIT; t++) wire[t] = 0;
            put(wire);
        }
        assertNotEquals(Verdict.TWO_SENDERS, judged().verdict());
    }

    /** A clock 1.9 % off, and edges to rest that are 8 us late: all of one direction, or all in proportion. */
    @Test
    void aSlowClockAndSlowEdgesAreOneNode() {
        for (int k = 0; k < 300; k++) {
            other();
            header();
            int[] wire = rest(14 * BIT);
            draw(wire, random.nextInt(256), 0, BIT * 1.019);
            for (int t = wire.length - 1; t > 0; t--) {
                for (int back = 1; back <= 80 && t - back >= 0 && wire[t] == 1; back++) if (wire[t - back] == 0) wire[t] = 0;
            }
            put(wire);
        }
        assertNotEquals(Verdict.TWO_SENDERS, judged().verdict());
    }
}
