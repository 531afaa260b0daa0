package buswitness.clashes;

import java.util.Arrays;

/**
 * Whether all frames of a message together make one comb, whatever trains they were sorted into: steady gaps, and no
 * pair
 * of gaps that makes one period together. A comb can always be read as several slower ones; that is no second sender.
 *
 * @param gapSeconds    median gap between frames
 * @param spreadSeconds 1.4826 times the median deviation from it
 * @param splitGaps     pairs of neighbouring gaps that are both short and make one median gap together
 * @param regular       one comb explains the frames
 */
record Regularity(double gapSeconds, double spreadSeconds, int splitGaps, boolean regular) {
    private static final double STEADY_SHARE = 0.15;
    private static final int FEWEST_GAPS = 8;
    private static final int FEWEST_SPLITS = 3;

    static Regularity of(MessageView view) {
        int n = view.wholeCount - 1;
        if (n < FEWEST_GAPS) return new Regularity(Double.NaN, Double.NaN, 0, false);
        double[] gaps = new double[n];
        for (int k = 0; k < n; k++) {
            gaps[k] = view.log.startSeconds(view.whole[k + 1]) - view.log.startSeconds(view.whole[k]);
        }
        double[] sorted = gaps.clone();
        Arrays.sort(sorted);
        double median = sorted[n / 2];
        for (int k = 0; k < n; k++) sorted[k] = Math.abs(gaps[k] - median);
        Arrays.sort(sorted);
        double spread = 1.4826 * sorted[n / 2];
        // Two gaps that take turns leave the median deviation at nothing; the 80th of 100 sees them.
        double most = sorted[(int) (0.8 * (n - 1))];
        int splits = 0;
        for (int k = 0; k + 1 < n; k++) {
            boolean together = Math.abs(gaps[k] + gaps[k + 1] - median) < 4 * spread + 0.01 * median;
            if (together && gaps[k] < median - 3 * spread && gaps[k + 1] < median - 3 * spread) splits++;
        }
        boolean regular = spread <= STEADY_SHARE * median && most <= 2 * STEADY_SHARE * median
                && splits < FEWEST_SPLITS;
        return new Regularity(median, spread, splits, regular);
    }
}
