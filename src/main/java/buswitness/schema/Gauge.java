package buswitness.schema;

/**
 * A needle.
 *
 * @param values         signal values, strictly ascending, at least two
 * @param shares         share of the needle's travel at each, 0 to 1
 * @param settlesSeconds time to come within 5 % of a new value (three time constants of a first-order follower)
 * @param travelsAtMostPerSecond share of travel a second that the movement can do; NaN where not limited
 * @param timeoutSeconds NaN where it holds for ever
 * @param timeoutShare   where it drops at its time-out, 0 to 1; NaN where it holds
 */
public record Gauge(String name, Message message, Signal signal, double[] values, double[] shares,
                    double settlesSeconds, double travelsAtMostPerSecond, double timeoutSeconds, double timeoutShare)
        implements Instrument {

    /** Share of travel for a value, straight between the points and held beyond them. */
    public double shareOf(double value) {
        int last = values.length - 1;
        if (value <= values[0]) return shares[0];
        for (int i = 1; i <= last; i++) {
            if (value <= values[i]) {
                double along = (value - values[i - 1]) / (values[i] - values[i - 1]);
                return shares[i - 1] + along * (shares[i] - shares[i - 1]);
            }
        }
        return shares[last];
    }
}
