package buswitness.simulate;

/**
 * Something that forces the wire. Bursts at given instants, or at random ones.
 *
 * @param atSeconds    given instants of the simulation, may be empty
 * @param perSecond    mean rate of random bursts, 0 for none
 * @param fromSeconds  random bursts from then
 * @param untilSeconds to then
 * @param lastsSeconds length of a burst, greater than 0
 * @param lengthVaries random bursts have an exponential length of that mean
 * @param dominant     forces dominant; else forces recessive
 */
public record Interference(double[] atSeconds, double perSecond, double fromSeconds, double untilSeconds,
                           double lastsSeconds, boolean lengthVaries, boolean dominant) {
    public Interference {
        if (!(lastsSeconds > 0)) throw new IllegalArgumentException("a burst lasts more than 0 s");
        if (!(perSecond >= 0)) throw new IllegalArgumentException("a rate is 0 or more");
    }

    /** Random bursts of varying length all along. */
    public static Interference random(double perSecond, double lastsSeconds, boolean dominant) {
        return new Interference(new double[0], perSecond, 0, Double.POSITIVE_INFINITY, lastsSeconds, true, dominant);
    }

    /** Bursts of one length at given instants. */
    public static Interference at(double lastsSeconds, boolean dominant, double... atSeconds) {
        return new Interference(atSeconds.clone(), 0, 0, 0, lastsSeconds, false, dominant);
    }
}
