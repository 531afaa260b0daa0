package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/**
 * Rounding in step, worked out edge by edge: a sender's asymmetry lies between two neighbouring multiples of two ticks,
 * wherever in the tick its frames start; two senders' may lie on either side of one.
 */
class WireLevelsTest {
    private static final int FRAMES = 400;
    private static final double TICK = 200;
    private static final TickStep IN_STEP = new TickStep(TICK, 40);
    private static final TickStep FREE = new TickStep(TICK, 40.318);

    private interface Sender {
        double asymmetry(int frame);
    }

    /** Frames whose edges at even bits open and at odd bits end dominant runs, floored to the tick, fitted as means. */
    private static FrameLog log(Sender sender, double creepTicks, int glitches, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        for (int i = 0; i < FRAMES; i++) {
            double place = random.nextDouble();
            double shift = sender.asymmetry(i) / 2 / TICK;
            double opens = 0;
            double ends = 0;
            for (int edge = 0; edge < 20; edge++) {
                double at = place + creepTicks * edge / 20;
                opens += Math.floor(at) / 20;
                ends += Math.floor(at + shift) / 20;
            }
            row.clear();
            row.key = MessageKey.can(0x1D0, false);
            row.startPicos = i * 20_000_000_000L;
            row.endPicos = row.startPicos + 1_000_000_000L;
            row.lengthCode = row.dataLength = 8;
            row.glitches = glitches;
            row.bitPpm = 0;
            row.bitPpmError = 40;
            row.asymmetryNanos = (float) (2 * TICK * (ends - opens));
            row.asymmetryErrorNanos = 70;
            log.add(row);
        }
        return log;
    }

    private static byte[] sides(FrameLog log, TickStep tick) {
        return WireLevels.of(log, IntStream.range(0, FRAMES).toArray(), tick, WireLevels.rings(log));
    }

    @Test
    void oneSenderStaysBetweenTwoMultiples() {
        for (double asymmetry : new double[] {-390, -120, -25, 0, 3, 40, 160, 399}) {
            for (double creep : new double[] {0, 0.3, 0.6}) {
                assertNull(sides(log(i -> asymmetry, creep, 0, 1), IN_STEP), asymmetry + " ns, creeping " + creep);
            }
        }
    }

    @Test
    void sendersOnEitherSideOfAMultipleAreSeen() {
        byte[] sides = sides(log(i -> i % 2 == 0 ? -60 : 60, 0.3, 0, 2), IN_STEP);
        assertNotNull(sides);
        int seen = 0;
        for (int i = 0; i < FRAMES; i++) {
            if (sides[i] != 0) assertEquals(i % 2 == 0 ? -1 : 1, sides[i], "frame " + i);
            if (sides[i] != 0) seen++;
        }
        assertTrue(seen > 30);
    }

    @Test
    void senderThatChangesOnceIsReplaced() {
        assertNull(sides(log(i -> i < 200 ? -60 : 60, 0.3, 0, 3), IN_STEP));
    }

    /** Ringing moves edges by whole ticks, and out of step the bound does not hold. */
    @Test
    void ringingAndATickOutOfStepSayNothing() {
        assertTrue(WireLevels.rings(log(i -> 0, 0, 1, 4)));
        assertFalse(WireLevels.rings(log(i -> 0, 0, 0, 4)));
        assertNull(sides(log(i -> i % 2 == 0 ? -60 : 60, 0, 1, 5), IN_STEP));
        assertNull(sides(log(i -> i % 2 == 0 ? -60 : 60, 0, 0, 6), FREE));
    }
}
