package buswitness.stats;

import java.util.Arrays;

/** Location and spread that a minority of wild values cannot spoil. Arrays handed in are left as they are. */
public final class Robust {
    /** Makes the median absolute deviation of a normal distribution its standard deviation: 1 / 0.67449. */
    private static final double NORMAL = 1.482602;

    private Robust() {}

    /** Middle value, mean of the two middle ones for an even count; NaN for none. */
    public static double median(double[] values, int count) {
        if (count == 0) return Double.NaN;
        double[] sorted = Arrays.copyOf(values, count);
        Arrays.sort(sorted);
        return count % 2 == 1 ? sorted[count / 2] : (sorted[count / 2 - 1] + sorted[count / 2]) / 2;
    }

    public static double median(double[] values) {
        return median(values, values.length);
    }

    /** Median absolute deviation about {@code centre}, scaled to a standard deviation; NaN for none. */
    public static double spread(double[] values, int count, double centre) {
        double[] away = new double[count];
        for (int i = 0; i < count; i++) away[i] = Math.abs(values[i] - centre);
        return NORMAL * median(away, count);
    }

    public static double spread(double[] values) {
        return spread(values, values.length, median(values));
    }

    /**
     * The value below which a share {@code q} lies, by linear interpolation between order statistics.
     *
     * @param q 0 to 1
     */
    public static double quantile(double[] values, double q) {
        if (values.length == 0) return Double.NaN;
        double[] sorted = values.clone();
        Arrays.sort(sorted);
        double at = q * (sorted.length - 1);
        int low = (int) at;
        int high = Math.min(low + 1, sorted.length - 1);
        return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
    }
}
