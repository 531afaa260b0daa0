package buswitness.predict;

import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * A figure over many simulated drives.
 *
 * @param least  NaN where no drive gave the figure
 * @param median likewise
 * @param most   likewise
 * @param drives drives that gave the figure
 */
public record Spread(double least, double median, double most, int drives) {
    /** Values that are NaN are left out. */
    static Spread of(double[] values) {
        double[] known = Arrays.stream(values).filter(v -> !Double.isNaN(v)).sorted().toArray();
        if (known.length == 0) return new Spread(Double.NaN, Double.NaN, Double.NaN, 0);
        return new Spread(known[0], Robust.median(known), known[known.length - 1], known.length);
    }
}
