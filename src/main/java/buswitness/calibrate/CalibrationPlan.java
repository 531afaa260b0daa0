package buswitness.calibrate;

/**
 * What to measure.
 *
 * @param seed           of the whole run: bus k of it has the seed {@code seed * 1 000 000 + k}; even buses have one
 *                       sender a message, odd ones a second
 * @param buses          of each kind, 1 to 500 000
 * @param threads        at least 1; the result does not depend on it
 * @param mostFrames     a recording is cut short where it would hold more than about so many, but never under 5 s
 * @param stopAfterSeconds no bus is begun after that; positive infinity for all of them
 */
public record CalibrationPlan(long seed, int buses, int threads, int mostFrames, double stopAfterSeconds) {
    static final long SEEDS_A_RUN = 1_000_000;

    public CalibrationPlan {
        if (seed < 0 || seed > 1_000_000_000L) throw new IllegalArgumentException("seed: " + seed);
        if (buses < 1 || buses > SEEDS_A_RUN / 2) throw new IllegalArgumentException("buses: " + buses);
        if (threads < 1) throw new IllegalArgumentException("threads: " + threads);
        if (mostFrames < 100) throw new IllegalArgumentException("most frames: " + mostFrames);
    }

    long seedOf(int bus) {
        return seed * SEEDS_A_RUN + bus;
    }
}
