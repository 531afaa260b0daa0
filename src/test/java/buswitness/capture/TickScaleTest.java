package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Ticks to picoseconds and back; expected values computed by hand from the counter's frequency. */
class TickScaleTest {

    @Test
    void findsTheFractionOfACounter() {
        assertEquals(new TickScale(125_000, 9), TickScale.of(1e12 / 72e6), "10^12 / (72 * 10^6) = 125000/9");
        assertEquals(new TickScale(1_000_000, 1), TickScale.of(1e6));
        assertEquals(new TickScale(125_000, 21), TickScale.of(1e12 / 168e6), "10^12 / (168 * 10^6) = 125000/21");
        assertEquals(new TickScale(1, 1000), TickScale.of(0.001));
        assertEquals(Math.PI * 1e5, TickScale.of(Math.PI * 1e5).picosPerTick(), 1e-10);
        assertEquals(TickScale.PICOS, TickScale.of(1e-9), "finer than any fraction it looks for");
    }

    @Test
    void ticksSurviveTheWayToPicosecondsAndBack() {
        SplittableRandom random = new SplittableRandom(81);
        for (TickScale scale : new TickScale[] {new TickScale(125_000, 9), new TickScale(1_000_000, 1),
            new TickScale(125_000, 21), TickScale.PICOS}) {
            for (int n = 0; n < 5_000; n++) {
                long ticks = random.nextLong(1L << random.nextInt(1, 44));
                long picos = scale.picos(ticks);
                assertEquals(ticks, scale.ticks(picos));
                if (scale.num() > 2 * scale.den()) assertEquals(-1, scale.ticks(picos + 1));
            }
        }
        assertEquals(-1, new TickScale(1_000_000, 1).picos(Long.MAX_VALUE / 1000), "beyond 106 days");
    }
}
