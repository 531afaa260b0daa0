package buswitness.senders;

import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Periods that a set of starts may hold: peaks in the histogram of differences over one to six frames (after the
 * cumulative difference histogram of H. K. Mardia, IEE Proc. F 136, 1989), and the median differences.
 */
final class PeriodCandidates {
    private static final int LAGS = 6;
    private static final int STRETCH = 4000;
    private static final double BIN = 0.01;
    private static final double SHORTEST_SECONDS = 5e-4;
    private static final int MOST = 10;
    private static final double NARROWEST = 0.0125;
    private static final double WIDEST = 0.2;

    /** A period and the standard deviation of a single release about it. */
    record Candidate(double period, double jitter) {}

    private final double[] differences;
    private int count;
    private final double[][] byLag = new double[3][];
    private final int starts;
    private final RecordedTime time;
    /** Made when first asked for. */
    private List<Candidate> lags;

    /** @param at ascending */
    PeriodCandidates(double[] at, int n, RecordedTime time) {
        this.time = time;
        differences = new double[Math.min(n, 3 * STRETCH) * LAGS];
        int seen = 0;
        if (n <= 3 * STRETCH) {
            seen = stretch(at, 0, n);
        } else {
            for (int part = 0; part < 3; part++) seen += stretch(at, (int) ((long) (n - STRETCH) * part / 2), STRETCH);
        }
        starts = seen;
        Arrays.sort(differences, 0, count);
        for (int lag = 1; lag <= 3; lag++) byLag[lag - 1] = lagged(at, n, lag);
    }

    private int stretch(double[] at, int from, int length) {
        for (int i = from; i < from + length; i++) {
            for (int lag = 1; lag <= LAGS && i + lag < from + length; lag++) {
                if (time.gapBetween(at[i], at[i + lag])) break;
                differences[count++] = at[i + lag] - at[i];
            }
        }
        return length;
    }

    private double[] lagged(double[] at, int n, int lag) {
        int take = Math.max(0, Math.min(n - lag, 3 * STRETCH));
        double[] d = new double[take];
        int k = 0;
        for (int i = 0; i < take; i++) if (!time.gapBetween(at[i], at[i + lag])) d[k++] = at[i + lag] - at[i];
        return Arrays.copyOf(d, k);
    }

    /** Longest first period is a quarter of the recording: fewer than four periods prove no comb. */
    List<Candidate> find(double layoutPeriod) {
        List<Candidate> found = new ArrayList<>();
        double longest = time.durationSeconds / 4;
        if (layoutPeriod > 0) {
            Candidate c = around(layoutPeriod);
            if (c != null) add(found, c, longest);
        }
        for (Candidate c : lags()) add(found, c, longest);
        for (double peak : peaks(longest)) {
            Candidate c = around(peak);
            if (c != null) add(found, c, longest);
        }
        List<Candidate> doubled = new ArrayList<>(found);
        for (Candidate c : found) {
            Candidate twice = around(2 * c.period);
            double jitter = twice == null ? c.jitter : Math.min(c.jitter, twice.jitter);
            add(doubled, new Candidate(2 * c.period, jitter), longest);
        }
        return doubled;
    }

    /** The median gap as a period; null where there are too few gaps. */
    Candidate median() {
        List<Candidate> lags = lags();
        return lags.isEmpty() ? null : lags.get(0);
    }

    /** Median differences over one, two and three frames as periods, each with its own spread. */
    List<Candidate> lags() {
        if (lags == null) lags = lagged();
        return lags;
    }

    private List<Candidate> lagged() {
        List<Candidate> found = new ArrayList<>();
        for (double[] d : byLag) {
            if (d.length < 3) continue;
            double median = Robust.median(d);
            double spread = Robust.spread(d, d.length, median) / Math.sqrt(2);
            Candidate near = around(median);
            if (near != null && near.jitter < spread) spread = near.jitter;
            if (median >= SHORTEST_SECONDS) found.add(new Candidate(median, spread));
        }
        return found;
    }

    private static void add(List<Candidate> found, Candidate c, double longest) {
        if (!(c.period >= SHORTEST_SECONDS) || c.period > longest || found.size() >= 2 * MOST) return;
        for (Candidate f : found) if (Math.abs(f.period / c.period - 1) < 0.006) return;
        found.add(c);
    }

    /** Median and spread of the differences near a peak; null where there are too few. */
    private Candidate around(double peak) {
        double centre = peak;
        double window = NARROWEST;
        for (int round = 0; round < 8; round++) {
            int low = first(centre * (1 - window));
            int high = first(centre * (1 + window));
            if (high - low < 3) return null;
            double[] near = Arrays.copyOfRange(differences, low, high);
            centre = near[near.length / 2];
            double spread = Robust.spread(near, near.length, centre);
            // A flat scatter has a spread of 0.74 windows: not resolved until it is well below.
            if (spread < 0.3 * window * centre || window >= WIDEST) return new Candidate(centre, spread / Math.sqrt(2));
            window = Math.min(WIDEST, 2 * window);
        }
        return null;
    }

    /** Index of the first difference not below {@code value}. */
    private int first(double value) {
        int at = Arrays.binarySearch(differences, 0, count, value);
        if (at < 0) return -at - 1;
        while (at > 0 && differences[at - 1] == value) at--;
        return at;
    }

    private double[] peaks(double longest) {
        int bins = (int) (Math.log(longest / SHORTEST_SECONDS) / BIN) + 8;
        if (bins < 16) return new double[0];
        int[] bin = new int[bins];
        for (int i = 0; i < count; i++) {
            double d = differences[i];
            if (d < SHORTEST_SECONDS || d > longest) continue;
            bin[2 + (int) (Math.log(d / SHORTEST_SECONDS) / BIN)]++;
        }
        int[] smooth = new int[bins];
        for (int b = 1; b < bins - 1; b++) smooth[b] = bin[b - 1] + bin[b] + bin[b + 1];
        List<int[]> tops = new ArrayList<>();
        for (int b = 1; b < bins - 1; b++) {
            boolean top = smooth[b] >= smooth[b - 1] && smooth[b] > smooth[b + 1];
            if (top && smooth[b] >= Math.max(4, starts / 12)) tops.add(new int[] {smooth[b], b});
        }
        tops.sort((a, b) -> a[0] != b[0] ? Integer.compare(b[0], a[0]) : Integer.compare(a[1], b[1]));
        return tops.stream().limit(MOST).mapToDouble(t -> SHORTEST_SECONDS * Math.exp((t[1] - 1.5) * BIN)).toArray();
    }
}
