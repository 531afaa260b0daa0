package buswitness.report.finding;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Which stretches of a long recording a page draws in full: around collisions, around reversals (where they begin and
 * end first), and a fair sample of calm. Everything fits, or the windows shrink until it does.
 */
final class DetailPlan {
    /** Reversals further apart than this belong to different spells. */
    private static final double SPELL_SECONDS = 5;
    private static final int COLLISION_WINDOWS = 16;
    private static final int REVERSAL_WINDOWS = 14;
    private static final int CALM_WINDOWS = 10;

    private final List<double[]> windows;
    private final boolean everything;

    private DetailPlan(List<double[]> windows, boolean everything) {
        this.windows = windows;
        this.everything = everything;
    }

    /** Windows in seconds, {@code {from, until}}, in order, not touching each other. */
    List<double[]> windows() {
        return windows;
    }

    /** Whether the whole recording is drawn in full. */
    boolean everything() {
        return everything;
    }

    boolean covers(double seconds) {
        int low = 0;
        int high = windows.size() - 1;
        while (low <= high) {
            int mid = low + high >>> 1;
            double[] w = windows.get(mid);
            if (seconds < w[0]) high = mid - 1;
            else if (seconds > w[1]) low = mid + 1;
            else return true;
        }
        return false;
    }

    /**
     * @param duration   of the recording, seconds
     * @param starts     starts of everything that would be drawn, seconds, ascending
     * @param collisions times, ascending
     * @param reversals  times, ascending
     * @param most       how many of {@code starts} the windows may hold
     */
    static DetailPlan choose(double duration, double[] starts, double[] collisions, double[] reversals, int most) {
        if (starts.length <= most) return new DetailPlan(List.of(new double[] {0, duration}), true);
        double width = duration * most / starts.length / (COLLISION_WINDOWS + REVERSAL_WINDOWS + CALM_WINDOWS);
        while (true) {
            List<double[]> windows = windows(duration, collisions, reversals, width);
            if (count(starts, windows) <= most || width < 1e-6) return new DetailPlan(windows, false);
            width *= 0.8;
        }
    }

    private static List<double[]> windows(double duration, double[] collisions, double[] reversals, double width) {
        List<Double> centres = new ArrayList<>(spread(collisions, COLLISION_WINDOWS));
        double[] edges = spellEdges(reversals);
        centres.addAll(spread(edges, REVERSAL_WINDOWS / 2));
        centres.addAll(spread(reversals, REVERSAL_WINDOWS - REVERSAL_WINDOWS / 2));
        int left = COLLISION_WINDOWS + REVERSAL_WINDOWS + CALM_WINDOWS - centres.size();
        centres.addAll(spread(calm(duration, collisions, reversals, width), left));
        return merged(duration, centres, width);
    }

    /** At most {@code most} of the values at even ranks, first and last among them. */
    private static List<Double> spread(double[] values, int most) {
        List<Double> out = new ArrayList<>();
        int n = Math.min(values.length, most);
        for (int i = 0; i < n; i++) {
            out.add(values[n == 1 ? 0 : (int) Math.round((double) i * (values.length - 1) / (n - 1))]);
        }
        return out;
    }

    private static double[] spellEdges(double[] reversals) {
        List<Double> edges = new ArrayList<>();
        for (int i = 0; i < reversals.length; i++) {
            boolean first = i == 0 || reversals[i] - reversals[i - 1] > SPELL_SECONDS;
            boolean last = i == reversals.length - 1 || reversals[i + 1] - reversals[i] > SPELL_SECONDS;
            if (first || last) edges.add(reversals[i]);
        }
        return edges.stream().mapToDouble(Double::doubleValue).toArray();
    }

    /** Places on an even grid that are far from any collision or reversal; the whole grid where nothing is calm. */
    private static double[] calm(double duration, double[] collisions, double[] reversals, double width) {
        int places = 400;
        double[] grid = new double[places];
        double[] quiet = new double[places];
        int n = 0;
        for (int i = 0; i < places; i++) {
            grid[i] = duration * (i + 0.5) / places;
            if (far(collisions, grid[i], width) && far(reversals, grid[i], width)) quiet[n++] = grid[i];
        }
        return n == 0 ? grid : Arrays.copyOf(quiet, n);
    }

    private static boolean far(double[] times, double at, double width) {
        int i = Arrays.binarySearch(times, at);
        if (i >= 0) return false;
        int next = -i - 1;
        return (next == times.length || times[next] - at > width) && (next == 0 || at - times[next - 1] > width);
    }

    private static List<double[]> merged(double duration, List<Double> centres, double width) {
        double[] sorted = centres.stream().mapToDouble(Double::doubleValue).sorted().toArray();
        List<double[]> out = new ArrayList<>();
        for (double centre : sorted) {
            double from = Math.max(0, centre - width / 2);
            double until = Math.min(duration, centre + width / 2);
            if (!out.isEmpty() && from <= out.get(out.size() - 1)[1]) out.get(out.size() - 1)[1] = until;
            else out.add(new double[] {from, until});
        }
        return out;
    }

    private static int count(double[] starts, List<double[]> windows) {
        int n = 0;
        for (double[] w : windows) n += lowerBound(starts, Math.nextUp(w[1])) - lowerBound(starts, w[0]);
        return n;
    }

    /** Index of the first value not less than {@code key}. */
    static int lowerBound(double[] ascending, double key) {
        int low = 0;
        int high = ascending.length;
        while (low < high) {
            int mid = low + high >>> 1;
            if (ascending[mid] < key) low = mid + 1;
            else high = mid;
        }
        return low;
    }
}
