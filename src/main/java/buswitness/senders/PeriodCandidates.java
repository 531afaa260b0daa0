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

    /** A period and the standard deviation of a single release about it. */
    record Candidate(double period, double jitter) {}

    private final double[] differences;
    private int count;
    private final double[][] byLag = new double[3][];
    private final int starts;
    private final RecordedTime time;

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
        for (double[] d : byLag) {
            if (d.length < 3) continue;
            double median = Robust.median(d);
            double spread = Robust.spread(d, d.length, median) / Math.sqrt(2);
            Candidate near = around(median);
            if (near != null && near.jitter < spread) spread = near.jitter;
            add(found, new Candidate(median, spread), longest);
        }
        for (double peak : peaks(longest)) {
            Candidate c = around(peak);
            if (c != null) add(found, c, longest);
        }
        List<Candidate> doubled = new ArrayList<>(found);
        for (Candidate c : found) add(doubled, new Candidate(2 * c.period, c.jitter), longest);
        return doubled;
    }

    private static void add(List<Candidate> found, Candidate c, double longest) {
        if (!(c.period >= SHORTEST_SECONDS) || c.period > longest || found.size() >= 2 * MOST) return;
        for (Candidate f : found) if (Math.abs(f.period / c.period - 1) < 0.006) return;
        found.add(c);
    }

    /** Median and spread of the differences near a peak; null where there are too few. */
    private Candidate around(double peak) {
        double centre = peak;
        double window = 0.025;
        double[] near = new double[count];
        for (int round = 0; round < 3; round++) {
            int n = 0;
            for (int i = 0; i < count; i++) {
                if (Math.abs(differences[i] / centre - 1) < window) near[n++] = differences[i];
            }
            if (n < 3) return null;
            centre = Robust.median(near, n);
            double spread = Robust.spread(near, n, centre);
            if (round == 2) return new Candidate(centre, spread / Math.sqrt(2));
            window = Math.max(0.001, Math.min(0.025, 8 * spread / centre));
        }
        return null;
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
