package buswitness.predict;

/**
 * How much is simulated.
 *
 * @param drives  simulated drives, each with other clocks and start phases; 1 to 1000
 * @param seconds length of each; 5 to 3600
 * @param seed    another seed draws others
 */
public record PredictOptions(int drives, double seconds, long seed) {
    public static final PredictOptions USUAL = new PredictOptions(30, 60, 1);

    public PredictOptions {
        if (drives < 1 || drives > 1000) throw new IllegalArgumentException("1 to 1000 drives can be simulated");
        if (!(seconds >= 5 && seconds <= 3600)) {
            throw new IllegalArgumentException("a drive lasts 5 to 3600 seconds");
        }
    }

    /** Frames of all remedies' drives together: a minute's wait on an old laptop. */
    private static final double TRIAL_FRAMES = 2e6;
    /** Needles settle and time-outs run off in this. */
    private static final double LEAST_SECONDS = 12;

    /**
     * Drives for each remedy: fewer, for there are many, and shorter where the bus is busy.
     *
     * @param remedies        to be tried
     * @param framesPerSecond of the bus
     */
    Trial trial(int remedies, double framesPerSecond) {
        int usual = Math.max(2, Math.min(drives, 5));
        double affordable = TRIAL_FRAMES / Math.max(1, remedies * framesPerSecond);
        int count = affordable < usual * seconds ? Math.min(usual, 3) : usual;
        return new Trial(count, Math.min(seconds, Math.max(LEAST_SECONDS, Math.floor(affordable / count))));
    }

    /** How each remedy is driven. */
    record Trial(int drives, double seconds) {}
}
