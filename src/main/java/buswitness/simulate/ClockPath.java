package buswitness.simulate;

import java.util.Arrays;
import java.util.SplittableRandom;

/**
 * One clock's way through true time: straight within each second of its own, the error walking from second to second.
 * Grows as far as it is asked. Times in seconds as double: to a fraction of a picosecond within an hour.
 */
final class ClockPath {
    private static final double ROOT_MINUTE = StrictMath.sqrt(60);
    private final Oscillator oscillator;
    private final SplittableRandom random;
    /** True time at each whole second of the clock. */
    private double[] trueAt = new double[16];
    private int known = 1;
    private double walkedPpm;

    ClockPath(Oscillator oscillator, SplittableRandom random) {
        this.oscillator = oscillator;
        this.random = random;
    }

    private void growTo(int second) {
        while (known <= second) {
            if (known == trueAt.length) trueAt = Arrays.copyOf(trueAt, known * 2);
            double warmed = oscillator.driftPpm() == 0 ? 0
                    : oscillator.driftPpm() * -StrictMath.expm1(-(known - 0.5) / oscillator.driftSeconds());
            double ppm = oscillator.ppm() + walkedPpm + warmed;
            trueAt[known] = trueAt[known - 1] + 1 + ppm * 1e-6;
            known++;
            walkedPpm += oscillator.wanderPpm() / ROOT_MINUTE * random.nextGaussian();
        }
    }

    /** True seconds at which the clock shows {@code local} seconds; before 0 it is taken as even. */
    double toTrue(double local) {
        if (local <= 0) return local;
        int second = (int) local;
        growTo(second + 1);
        return trueAt[second] + (local - second) * (trueAt[second + 1] - trueAt[second]);
    }

    /** What the clock shows at {@code trueSeconds}. */
    double toLocal(double trueSeconds) {
        if (trueSeconds <= 0) return trueSeconds;
        int second = secondAt(trueSeconds);
        return second + (trueSeconds - trueAt[second]) / (trueAt[second + 1] - trueAt[second]);
    }

    /** How many true seconds one of its seconds lasts just then. */
    double secondLength(double trueSeconds) {
        int second = secondAt(Math.max(0, trueSeconds));
        return trueAt[second + 1] - trueAt[second];
    }

    private int secondAt(double trueSeconds) {
        int second = (int) trueSeconds;
        growTo(second + 1);
        while (second > 0 && trueAt[second] > trueSeconds) second--;
        while (true) {
            growTo(second + 1);
            if (trueAt[second + 1] > trueSeconds) return second;
            second++;
        }
    }
}
