package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * How often rate and polarity are found from few frames on a bad line, and what the stated confidence is worth. Prints
 * the table of analysis-notes/wire-to-frames.md.
 */
class RateFindingStudyTest {
    private static final double[] RATES = {5_000, 10_000, 1e5 / 3, 1e6 / 12, 125_000, 250_000, 500_000, 1_000_000};
    private static final int ROUNDS = 25;

    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 5, 10, 30})
    void fewFramesOnABadLine(int frames) {
        int tries = 0;
        int right = 0;
        int polarity = 0;
        int read = 0;
        int sure = 0;
        int surelyWrong = 0;
        for (double rate : RATES) {
            double bit = 1e12 / rate;
            for (int round = 0; round < ROUNDS; round++) {
                Random random = new Random(round * 1000L + frames);
                double tick = Math.max(10_000, bit * Math.pow(10, -1 - 2 * random.nextDouble()));
                WireSketch wire = new WireSketch(rate, round).tick(tick).inverted(random.nextBoolean())
                        .jitter(0.02 * bit).ringing(random.nextInt(3) == 0 ? 0.5 : 0).idle(15 + random.nextInt(2000));
                for (int i = 0; i < frames; i++) {
                    byte[] data = new byte[random.nextInt(9)];
                    random.nextBytes(data);
                    wire.sender(6000 * (random.nextDouble() - 0.5), 0.2 * (random.nextDouble() - 0.5) * bit);
                    wire.frame(random.nextInt(0x7FF), data);
                    wire.idle(random.nextInt(500));
                }
                WireSketch.Recorded recorded = wire.idle(15).record();
                Decoded decoded = recorded.decode(new FrameReader.Options(null, Double.NaN, tick));
                boolean ok = Math.abs(decoded.bus().bitsPerSecond() / rate - 1) < 1e-6;
                tries++;
                if (ok) right++;
                if (decoded.bus().idleLevel() == recorded.firstLevel()) polarity++;
                read += decoded.frames().wholeCount();
                if (decoded.bus().rateConfidence() > 0.9) sure++;
                if (decoded.bus().rateConfidence() > 0.9 && !ok) surelyWrong++;
            }
        }
        System.out.printf(Locale.ROOT, "| %d | %d | %.1f %% | %.1f %% | %.2f %% | %.1f %% | %d |%n", frames, tries,
                100.0 * right / tries, 100.0 * polarity / tries, 100.0 * read / (tries * frames), 100.0 * sure / tries,
                surelyWrong);
        assertTrue(surelyWrong == 0, surelyWrong + " wrong rates stated as sure");
        assertTrue(right >= (frames == 1 ? 0.85 : 0.97) * tries, right + " of " + tries);
    }
}
