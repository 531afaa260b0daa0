package buswitness.clashes;

import buswitness.stats.LineFit;
import buswitness.stats.Robust;
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
 * @param takesTurns    long and short gaps take turns, and how long they are is not fixed by one timer as far as seen: two
 *                      combs half a period apart look so, and so does one node's uneven task table
 */
record Regularity(double gapSeconds, double spreadSeconds, int splitGaps, boolean regular, boolean takesTurns) {
    private static final double STEADY_SHARE = 0.15;
    private static final int FEWEST_GAPS = 8;
    private static final int FEWEST_SPLITS = 3;
    private static final int FEWEST_TURNS = 16;
    private static final double CLEAR = 6;
    private static final double UNEVEN_SHARE = 0.04;
    private static final double WAITED_FRAMES = 1;
    private static final double NO_DRIFT = 4;

    static Regularity of(MessageView view) {
        int n = view.wholeCount - 1;
        if (n < FEWEST_GAPS) return new Regularity(Double.NaN, Double.NaN, 0, false, false);
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
        return new Regularity(median, spread, splits, regular, regular && takesTurns(view, median));
    }

    /**
     * By how much every second frame comes late against the middle of its neighbours: clearly not nothing, and moving, or
     * not known to stand still.
     */
    private static boolean takesTurns(MessageView view, double gap) {
        double[] x = new double[view.wholeCount];
        double[] late = new double[view.wholeCount];
        int n = 0;
        double sum = 0;
        for (int k = 1; k + 1 < view.wholeCount; k++) {
            double before = view.log.startSeconds(view.whole[k - 1]);
            double at = view.log.startSeconds(view.whole[k]);
            double after = view.log.startSeconds(view.whole[k + 1]);
            if (after - before > 2.5 * gap) return false;
            boolean free = view.log.isFreeStart(view.whole[k]) && view.log.isFreeStart(view.whole[k - 1])
                    && view.log.isFreeStart(view.whole[k + 1]);
            if (!free) continue;
            x[n] = at;
            late[n] = (k % 2 == 0 ? 1 : -1) * (at - (before + after) / 2);
            sum += late[n++];
        }
        if (n < FEWEST_TURNS) return false;
        LineFit line = LineFit.robust(x, late, n);
        double mean = sum / n;
        double error = 1.5 * Robust.spread(late, n, Robust.median(late, n)) / Math.sqrt(n);
        // Traffic that comes in the same rhythm makes every second frame wait, by a frame or two.
        double frame = (view.log.endPicos(view.whole[0]) - view.log.startPicos(view.whole[0])) * 1e-12;
        boolean uneven = Math.abs(mean) > Math.max(CLEAR * error, Math.max(WAITED_FRAMES * frame, UNEVEN_SHARE * gap));
        double drift = Math.abs(line.slope()) * 1e6;
        double driftError = 1.5 * line.slopeError() * 1e6;
        boolean stands = drift < NO_DRIFT * driftError && driftError <= Timing.SURE_PPM;
        return uneven && !stands;
    }
}
