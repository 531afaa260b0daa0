package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The fitted bit length and asymmetry against the simulated sender, and their stated errors against the real ones: the
 * deviates must have mean 0 and spread 1. Prints the table of analysis-notes/wire-timing.md.
 */
class WireTimingTest {
    private static final int FRAMES = 2000;

    private record Spread(double meanPpm, double sdPpm, double statedPpm, double zPpm, double meanAsymmetry,
                          double sdAsymmetry, double statedAsymmetry, double zAsymmetry, int fitted, double weightedPpm,
                          double weightedAsymmetry) {}

    private static Spread measure(double rate, double tick, double jitter, double ppm, double asymmetry, int bytes) {
        Random random = new Random(31);
        WireSketch wire = new WireSketch(rate, 17).tick(tick).sender(ppm, asymmetry).jitter(jitter).idle(30);
        for (int i = 0; i < FRAMES; i++) {
            byte[] data = new byte[bytes];
            random.nextBytes(data);
            wire.frame(random.nextInt(0x7FF), data);
            wire.idle(random.nextDouble() * 50);
        }
        FrameLog log = wire.record().decode(new FrameReader.Options("can", rate, tick)).frames();
        assertEquals(FRAMES, log.wholeCount());
        double[] sums = new double[8];
        double[] weighted = new double[4];
        int n = 0;
        for (int i = 0; i < FRAMES; i++) {
            if (Float.isNaN(log.bitPpm(i))) continue;
            n++;
            double p = log.bitPpm(i) - ppm;
            // The end of a dominant run is late by half of what its bit is longer than a recessive one.
            double a = log.asymmetryNanos(i) - 2 * asymmetry * 1e-3;
            double weight = Math.pow(log.bitPpmError(i), -2);
            weighted[0] += weight;
            weighted[1] += weight * p;
            weight = Math.pow(log.asymmetryErrorNanos(i), -2);
            weighted[2] += weight;
            weighted[3] += weight * a;
            sums[0] += p;
            sums[1] += p * p;
            sums[2] += log.bitPpmError(i) * log.bitPpmError(i);
            sums[3] += Math.pow(p / log.bitPpmError(i), 2);
            sums[4] += a;
            sums[5] += a * a;
            sums[6] += log.asymmetryErrorNanos(i) * log.asymmetryErrorNanos(i);
            sums[7] += Math.pow(a / log.asymmetryErrorNanos(i), 2);
        }
        for (int i = 0; i < 8; i++) sums[i] /= n;
        return new Spread(sums[0], Math.sqrt(sums[1]), Math.sqrt(sums[2]), Math.sqrt(sums[3]), sums[4],
                Math.sqrt(sums[5]), Math.sqrt(sums[6]), Math.sqrt(sums[7]), n,
                weighted[1] / Math.sqrt(weighted[0]), weighted[3] / Math.sqrt(weighted[2]));
    }

    @ParameterizedTest
    @CsvSource({
        // rate, tick ns, jitter ns, ppm, lateness of dominant ends ns, bytes, tick in step and not dithered by jitter
        "125000, 1000, 0, 1500, 40, 8, true",
        "125000, 1000, 0, -73, 0, 4, true",
        "125000, 100, 20, 42, -60, 8, true",
        "125000, 13.8889, 30, 42, 25, 8, false",
        "125000, 10, 50, -3000, 400, 2, false",
        "500000, 100, 10, 80, 15, 8, true",
        "500000, 10, 5, 15, -8, 8, false",
        "500000, 10, 20, 15, -8, 1, false",
        "33333.333, 1000, 200, 2500, 900, 8, true",
        "10000, 1000, 300, -4000, -2000, 6, true",
    })
    void statedErrorsAreTheRealOnes(double rate, double tickNanos, double jitterNanos, double ppm,
                                    double asymmetryNanos, int bytes, boolean inStep) {
        Spread s = measure(rate, tickNanos * 1e3, jitterNanos * 1e3, ppm, asymmetryNanos * 1e3, bytes);
        System.out.printf(Locale.ROOT,
                "| %.0f | %.1f | %.0f | %d | %d | %+.2f ± %.1f | %.1f | %.2f | %+.2f ± %.1f | %.1f | %.2f | %+.1f, %+.1f |%n",
                rate, tickNanos, jitterNanos, bytes, s.fitted, s.meanPpm, s.sdPpm, s.statedPpm, s.zPpm, s.meanAsymmetry,
                s.sdAsymmetry, s.statedAsymmetry, s.zAsymmetry, s.weightedPpm, s.weightedAsymmetry);
        assertTrue(s.fitted > 0.9 * FRAMES, s.toString());
        double meanError = 1 / Math.sqrt(s.fitted);
        assertEquals(0, s.meanPpm, 5 * s.sdPpm * meanError, s.toString());
        assertEquals(0, s.meanAsymmetry, 5 * s.sdAsymmetry * meanError, s.toString());
        // Means by stated weights must not be bent: in standard errors of the mean.
        assertEquals(0, s.weightedPpm, 4.5, s.toString());
        assertEquals(0, s.weightedAsymmetry, 4.5, s.toString());
        if (inStep) {
            // All edges share the tick's error: rather too wide than too narrow.
            assertTrue(s.statedPpm > 0.85 * s.sdPpm && s.zPpm < 1.2, s.toString());
            assertTrue(s.statedAsymmetry > 0.85 * s.sdAsymmetry && s.zAsymmetry < 1.2, s.toString());
        } else {
            assertEquals(1, s.zPpm, 0.15, s.toString());
            assertEquals(1, s.zAsymmetry, 0.15, s.toString());
        }
    }

    /** A tick in step with the bit clock leaves no scatter; the error must not shrink to nothing. */
    @Test
    void tickInStepWithTheBitClock() {
        Spread s = measure(125_000, 1_000_000, 0, 0, 0, 8);
        assertEquals(0, s.sdPpm, 1e-3);
        assertTrue(s.statedPpm > 50, s.toString());
        assertTrue(s.statedAsymmetry > 50, s.toString());
    }

    /** What a rival does before it loses, and whoever acknowledges, must not move the fit. */
    @Test
    void edgesOfOthersAreLeftOut() {
        for (double late : new double[] {0, 1_500_000}) {
            WireSketch wire = new WireSketch(125_000, 5).tick(1_000).idle(40);
            byte[] data = WireSketch.bytes("0123456789ABCDEF");
            BitString unstuffed = CanFrameBits.unstuffed(0x2A5, false, false, 8, data);
            String bits = CanFrameBits.stuffed(unstuffed).toString();
            // Somebody else's late edges all through the identifier, and a late acknowledge.
            wire.sender(300, late).send(bits.substring(0, 13));
            wire.sender(300, 0).send(bits.substring(13) + "1");
            wire.idle(late / 8e6).sender(300, 0).send("0");
            wire.send("11111111");
            FrameLog log = wire.idle(40).record().decode(new FrameReader.Options("can", 125_000, 1_000)).frames();
            assertEquals(1, log.wholeCount());
            assertEquals(300, log.bitPpm(0), 1);
            assertEquals(0, log.asymmetryNanos(0), 2);
        }
    }
}
