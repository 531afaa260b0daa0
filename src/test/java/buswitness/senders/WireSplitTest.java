package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import java.util.SplittableRandom;
import java.util.function.IntPredicate;
import org.junit.jupiter.api.Test;

/** Two heaps of bit timing are two transmitters; one heap, heaps one after the other, and steps of the tick are not. */
class WireSplitTest {
    private static final int FRAMES = 300;
    /** 100 ns against a bit of 8,063.7 ns: 80.637 ticks, in step with nothing. */
    private static final TickStep FREE = new TickStep(100, 80.637);
    private static final TickStep IN_STEP = new TickStep(100, 80);

    private interface Draw {
        double of(int frame, SplittableRandom random);
    }

    private static FrameLog log(Draw ppm, Draw nanos, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        for (int i = 0; i < FRAMES; i++) {
            row.clear();
            row.key = MessageKey.can(0x1D0, false);
            row.startPicos = i * 20_000_000_000L;
            row.endPicos = row.startPicos + 1_000_000_000L;
            row.lengthCode = row.dataLength = 8;
            row.bitPpm = (float) ppm.of(i, random);
            row.bitPpmError = 40;
            row.asymmetryNanos = (float) nanos.of(i, random);
            row.asymmetryErrorNanos = 20;
            log.add(row);
        }
        return log;
    }

    private static WireSplit split(FrameLog log, TickStep tick) {
        MessageFrames frames = new MessageFrames(MessageKey.can(0x1D0, false), log.size(), 0, true);
        for (int i = 0; i < log.size(); i++) {
            frames.frame[i] = i;
            frames.at[i] = frames.earliest[i] = log.startSeconds(i);
            frames.length[i] = 8;
        }
        return WireSplit.of(frames, log, tick);
    }

    private static void sorts(FrameLog log, IntPredicate second) {
        WireSplit split = split(log, FREE);
        assertNotNull(split);
        boolean turned = split.heap[0] == 1 != second.test(0);
        for (int i = 0; i < FRAMES; i++) assertEquals(second.test(i) != turned, split.heap[i] == 1, "frame " + i);
    }

    @Test
    void twoClocksAreSorted() {
        IntPredicate second = i -> i % 2 == 1;
        sorts(log((i, r) -> (second.test(i) ? 400 : 0) + 40 * r.nextGaussian(), (i, r) -> 20 * r.nextGaussian(), 1), second);
    }

    @Test
    void fewFramesOfASecondTransmitterAreSorted() {
        IntPredicate second = i -> i % 20 == 7;
        sorts(log((i, r) -> 40 * r.nextGaussian(), (i, r) -> (second.test(i) ? 400 : 0) + 20 * r.nextGaussian(), 2), second);
    }

    /** Halves of a normal distribution lie 2 * 0.798 / 0.603 = 2.65 of their deviations apart, of a flat one 3.46. */
    @Test
    void oneHeapIsNeverCut() {
        for (long seed = 1; seed <= 200; seed++) {
            assertNull(split(log((i, r) -> 60 * r.nextGaussian(), (i, r) -> 30 * r.nextGaussian(), seed), FREE), "normal");
            assertNull(split(log((i, r) -> 500 * r.nextDouble(), (i, r) -> 20 * r.nextGaussian(), seed), FREE), "flat");
        }
    }

    @Test
    void heapsOneAfterTheOtherAreAReplacedUnit() {
        assertNull(split(log((i, r) -> (i > 140 ? 900 : 0) + 40 * r.nextGaussian(), (i, r) -> 0, 3), FREE));
    }

    /** One sender's asymmetry in steps of two ticks, as rounding in step with the bits gives it. */
    @Test
    void stepsOfTheTickAreNoHeaps() {
        FrameLog steps = log((i, r) -> 0, (i, r) -> r.nextInt(2) * 200, 4);
        assertNull(split(steps, IN_STEP));
        assertTrue(IN_STEP.inStep(0, 82));
        assertTrue(new TickStep(100, 80.5).inStep(0, 82), "halves see two places only");
        assertTrue(!FREE.inStep(0, 82));
    }
}
