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

    /** Drives for each remedy: fewer, for there are many. */
    int trialDrives() {
        return Math.max(2, Math.min(drives, 5));
    }
}
