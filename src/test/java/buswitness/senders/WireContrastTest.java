package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.senders.WireMean.Trait;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/**
 * Two trains of one transmitter stay within a few errors of each other whatever their frames do; two transmitters do
 * not.
 */
class WireContrastTest {
    private static final int FRAMES = 400;
    private static final double TICK = 100;
    /** 8 us bits of 80 ticks: in step. */
    private static final TickStep IN_STEP = new TickStep(TICK, 80);
    private static final TickStep FREE = new TickStep(TICK, 80.637);
    private static final double DITHER = 30;
    private static final double FLOOR = 2;

    private interface Draw {
        double of(int frame, SplittableRandom random);
    }

    private static FrameLog log(Draw ppm, Draw nanos, Draw lateNanos, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        for (int i = 0; i < FRAMES; i++) {
            row.clear();
            row.key = MessageKey.can(0x1D0, false);
            row.startPicos = (long) (Math.floor((i * 10_000_000.0 + lateNanos.of(i, random)) / TICK) * TICK * 1000);
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

    private static WireContrast evenAgainstOdd(FrameLog log, Trait trait, TickStep tick, double dither) {
        return WireContrast.of(log, IntStream.range(0, FRAMES).filter(i -> i % 2 == 0).toArray(),
                IntStream.range(0, FRAMES).filter(i -> i % 2 == 1).toArray(), trait, tick, dither, dither);
    }

    /**
     * In step a sender's shift takes one of two neighbouring ticks: chance decides, and averages, where starts scatter.
     */
    @Test
    void roundingThatAveragesShowsADifferenceBelowTheTick() {
        FrameLog one = log((i, r) -> 0, (i, r) -> r.nextDouble() < 0.3 ? 200 : 0, (i, r) -> 0, 1);
        assertTrue(Math.abs(evenAgainstOdd(one, Trait.ASYMMETRY_NANOS, IN_STEP, DITHER).deviation(FLOOR)) < 4);
        FrameLog two = log((i, r) -> 0, (i, r) -> r.nextDouble() < (i % 2 == 0 ? 0.1 : 0.6) ? 200 : 0, (i, r) -> 0, 2);
        WireContrast apart = evenAgainstOdd(two, Trait.ASYMMETRY_NANOS, IN_STEP, DITHER);
        // 50 % of two ticks of 100 ns more.
        assertEquals(100, apart.difference(), 4 * apart.error());
        assertTrue(apart.deviation(FLOOR) > 8 && apart.early(FLOOR) > 3 && apart.late(FLOOR) > 3);
    }

    /** Starts in step with the tick: every second frame of one timer may always be rounded the other way. */
    @Test
    void roundingThatStandsStillIsNoDifference() {
        FrameLog stuck = log((i, r) -> 0, (i, r) -> i % 2 == 0 ? 0 : 200, (i, r) -> 0, 3);
        assertEquals(0, evenAgainstOdd(stuck, Trait.ASYMMETRY_NANOS, IN_STEP, 0).deviation(FLOOR));
        FrameLog apart = log((i, r) -> 0, (i, r) -> i % 2 == 0 ? 0 : 400, (i, r) -> 0, 4);
        assertTrue(evenAgainstOdd(apart, Trait.ASYMMETRY_NANOS, IN_STEP, 0).deviation(FLOOR) > 8,
                "four ticks are two senders");
        // Out of step: the same bits at the same place of the tick err alike in every frame, by a frame's own error.
        FrameLog same = log((i, r) -> 0, (i, r) -> i % 2 == 0 ? 0 : 50, (i, r) -> 0, 5);
        assertEquals(0, evenAgainstOdd(same, Trait.ASYMMETRY_NANOS, FREE, 0).deviation(FLOOR));
    }

    /** What warms up, or is replaced while both run, changes both trains alike. */
    @Test
    void whatChangesBothFallsOut() {
        FrameLog warm = log((i, r) -> i * 0.2 + (i > 250 ? 60 : 0) + 10 * r.nextGaussian(), (i, r) -> 0,
                (i, r) -> 0, 6);
        WireContrast contrast = evenAgainstOdd(warm, Trait.BIT_PPM, FREE, DITHER);
        assertTrue(Math.abs(contrast.deviation(0.5)) < 4 && contrast.error() < 3, contrast.toString());
    }

    /** A difference in one stretch alone is an episode, no second transmitter: the scatter of the stretches says so. */
    @Test
    void anEpisodeIsNoDifference() {
        FrameLog episode = log((i, r) -> (i % 2 == 1 && i > 300 ? 200 : 0) + 10 * r.nextGaussian(), (i, r) -> 0,
                (i, r) -> 0, 7);
        WireContrast contrast = evenAgainstOdd(episode, Trait.BIT_PPM, FREE, DITHER);
        assertTrue(contrast.deviation(0.5) < 4, contrast.toString());
    }

    @Test
    void trainsOneAfterTheOtherAreNotCompared() {
        FrameLog log = log((i, r) -> i > 200 ? 500 : 0, (i, r) -> 0, (i, r) -> 0, 8);
        assertNull(WireContrast.of(log, IntStream.range(0, 200).toArray(), IntStream.range(200, 400).toArray(),
                Trait.BIT_PPM, FREE, DITHER, DITHER));
    }

    /** Frames that two sent as one stand far off and are left out of the mean. */
    @Test
    void wildFramesAreLeftOut() {
        FrameLog log = log((i, r) -> 5 * r.nextGaussian(), (i, r) -> (i % 40 == 7 ? 3000 : 0) + 5 * r.nextGaussian(),
                (i, r) -> 0, 9);
        WireMean mean = WireMean.of(log, IntStream.range(0, FRAMES).toArray(), Trait.ASYMMETRY_NANOS, FREE, DITHER);
        assertEquals(FRAMES - 10, mean.frames());
        assertEquals(0, mean.value(), 5 * mean.error());
        assertNotNull(mean);
    }

    /**
     * Starts late by 0 to 5 us scatter over the tick of 100 ns; exact ones, and ones late by one fixed time, do not.
     */
    @Test
    void ditherIsTheScatterOfStarts() {
        int[] all = IntStream.range(0, FRAMES).toArray();
        assertTrue(FREE.dither(log((i, r) -> 0, (i, r) -> 0, (i, r) -> 5000 * r.nextDouble(), 10), all, 0.01) > 10);
        assertEquals(0, FREE.dither(log((i, r) -> 0, (i, r) -> 0, (i, r) -> i * 0.3, 11), all, 0.01));
        FrameLog nowAndThen = log((i, r) -> 0, (i, r) -> 0, (i, r) -> r.nextInt(8) == 0 ? 9000 : 0, 12);
        assertEquals(0, FREE.dither(nowAndThen, all, 0.01));
    }
}
