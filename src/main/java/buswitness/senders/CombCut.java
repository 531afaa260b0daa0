package buswitness.senders;

import java.util.ArrayList;
import java.util.List;

/**
 * Cuts a comb where its phase jumps over a silence: a timer that began anew nearly in its old place, which the tracker
 * follows through. One line through both sides would be bent by the jump and name a clock that nobody has.
 */
final class CombCut {
    private static final int SILENT_TEETH = 3;
    private static final int FEWEST = 5;
    private static final double CLEAR = 3;

    private CombCut() {}

    /** The pieces in order; the comb itself where it has no jump. */
    static List<Comb> cut(MessageFrames frames, RecordedTime time, Comb comb, double period, double jitter) {
        List<Comb> pieces = new ArrayList<>();
        int from = 0;
        for (int i = 1; i < comb.size; i++) {
            if (comb.tooth[i] - comb.tooth[i - 1] <= SILENT_TEETH || i - from < FEWEST) continue;
            int until = i + 1;
            while (until < comb.size && comb.tooth[until] - comb.tooth[until - 1] <= SILENT_TEETH) until++;
            if (until - i < FEWEST) continue;
            if (time.gapBetween(frames.at[comb.member[i - 1]], frames.at[comb.member[i]])) continue;
            if (!jumps(frames, comb, from, i, until, period, jitter)) continue;
            pieces.add(part(comb, from, i));
            from = i;
        }
        if (pieces.isEmpty()) return List.of(comb);
        pieces.add(part(comb, from, comb.size));
        return pieces;
    }

    private static Comb part(Comb comb, int from, int until) {
        Comb part = new Comb();
        for (int i = from; i < until; i++) part.add(comb.tooth[i] - comb.tooth[from], comb.member[i], comb.sharp[i]);
        return part;
    }

    /** Two lines of one slope through both sides: whether the step between them is far beyond its error. */
    private static boolean jumps(MessageFrames frames, Comb comb, int from, int cut, int until, double period,
                                 double jitter) {
        double[] left = sums(frames, comb, from, cut, period);
        double[] right = sums(frames, comb, cut, until, period);
        if (left[0] < FEWEST || right[0] < FEWEST) return false;
        double xx = left[3] + right[3];
        double slope = (left[4] + right[4]) / xx;
        double apart = right[1] - left[1];
        double jump = right[2] - left[2] - slope * apart;
        double wander = CombTracker.WANDER_PPM * 1e-6 * apart * period * Math.sqrt(apart * period / 60);
        double error = Math.hypot(jitter * Math.sqrt(1 / left[0] + 1 / right[0] + apart * apart / xx), wander);
        return Math.abs(jump) > Math.max(CLEAR * error, jitter);
    }

    /** Count, mean tooth, mean deviation from the period, and the sums of squares and products about them. */
    private static double[] sums(MessageFrames frames, Comb comb, int from, int until, double period) {
        double[] s = new double[5];
        double origin = frames.at[comb.member[0]] - comb.tooth[0] * period;
        for (int i = from; i < until; i++) {
            if (!comb.sharp[i]) continue;
            double x = comb.tooth[i];
            double y = frames.at[comb.member[i]] - origin - x * period;
            s[0]++;
            double dx = x - s[1];
            double dy = y - s[2];
            s[1] += dx / s[0];
            s[2] += dy / s[0];
            s[3] += dx * (x - s[1]);
            s[4] += dx * (y - s[2]);
        }
        return s;
    }
}
