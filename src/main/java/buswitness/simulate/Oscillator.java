package buswitness.simulate;

/**
 * How a clock strays. All figures say how much LONGER its second is than a true second, in parts per million: a
 * positive clock runs slow, and its periods and bits are longer by as much.
 *
 * @param ppm          error at the start
 * @param wanderPpm    random walk of the error: standard deviation after one minute, growing with the square root of
 *                     time; 0 or more
 * @param driftPpm     further error reached in the end as the case warms up, 0 for none
 * @param driftSeconds time constant of that warming, greater than 0
 */
public record Oscillator(double ppm, double wanderPpm, double driftPpm, double driftSeconds) {
    public static final Oscillator TRUE = new Oscillator(0, 0, 0, 1);

    public Oscillator {
        if (!(Math.abs(ppm) < 200_000)) throw new IllegalArgumentException("ppm out of range: " + ppm);
        if (!(wanderPpm >= 0)) throw new IllegalArgumentException("wander below 0: " + wanderPpm);
        if (!(driftSeconds > 0)) throw new IllegalArgumentException("drift time must be above 0: " + driftSeconds);
    }

    public static Oscillator of(double ppm, double wanderPpm) {
        return new Oscillator(ppm, wanderPpm, 0, 1);
    }
}
