package buswitness.stats;

import java.util.Arrays;

/** Location and spread that a minority of wild values cannot spoil. Arrays handed in are left as they are. */
public final class Robust {
    /** Makes the median absolute deviation of a normal distribution its standard deviation: 1 / 0.67449. */
    private static final double NORMAL = 1.482602;

    private Robust() {}

    /** Middle value, mean of the two middle ones for an even count; NaN for none. */
    public static double median(double[] values, int count) {
        return middleOf(Arrays.copyOf(values, count));
    }

    /** Disturbs the order. */
    private static double middleOf(double[] work) {
        int count = work.length;
        if (count == 0) return Double.NaN;
        double upper = select(work, count / 2);
        if (count % 2 == 1) return upper;
        double lower = work[0];
        for (int i = 1; i < count / 2; i++) lower = Math.max(lower, work[i]);
        return (lower + upper) / 2;
    }

    /**
     * The value of rank {@code k}; smaller ones end up before it (C. A. R. Hoare, Algorithm 65, CACM 4, 1961). No NaN.
     */
    private static double select(double[] work, int k) {
        int low = 0;
        int high = work.length - 1;
        while (low < high) {
            double pivot = middle(work[low], work[low + high >>> 1], work[high]);
            int i = low;
            int j = high;
            while (i <= j) {
                while (work[i] < pivot) i++;
                while (work[j] > pivot) j--;
                if (i > j) break;
                double swap = work[i];
                work[i++] = work[j];
                work[j--] = swap;
            }
            if (k <= j) high = j;
            else if (k >= i) low = i;
            else break;
        }
        return work[k];
    }

    private static double middle(double a, double b, double c) {
        return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
    }

    public static double median(double[] values) {
        return median(values, values.length);
    }

    /** Median absolute deviation about {@code centre}, scaled to a standard deviation; NaN for none. */
    public static double spread(double[] values, int count, double centre) {
        double[] away = new double[count];
        for (int i = 0; i < count; i++) away[i] = Math.abs(values[i] - centre);
        return NORMAL * middleOf(away);
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
