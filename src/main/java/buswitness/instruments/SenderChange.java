package buswitness.instruments;

import java.util.HashMap;
import java.util.Map;
import org.hipparchus.distribution.discrete.BinomialDistribution;

/**
 * How many reversals come with a change of sender, against what chance gives.
 *
 * <p>Chance: were the senders' names shuffled over the frames (a permutation test), two neighbours would differ with
 * probability p = 1 - sum n_i (n_i - 1) / (N (N - 1)), n_i frames of sender i among N. For two senders and all pairs
 * this is the mean number of runs of A. Wald and J. Wolfowitz, Annals of Mathematical Statistics 11 (1940) 147-162,
 * less one, over N - 1. Its standard error over R reversals is taken as binomial,
 * sqrt(p (1 - p) / R), which is no smaller than theirs for two senders. The tail probability is the exact binomial one.
 *
 * <p>Coincidence alone would also arise where two strictly alternating senders share one bad reading. Therefore
 * {@code returning} asks besides: of the reversals that come with a change of sender, in how many does the value return
 * to where that sender itself was last?
 *
 * @param known     reversals whose two frames both have a known sender
 * @param share     of these, with a change of sender; NaN where none is known
 * @param chance    what shuffled names give; NaN where no sender is known
 * @param error     one standard error of {@code chance}
 * @param tail      probability that chance gives as many or more
 * @param returning share, of reversals with a change whose sender was seen before, that fit that sender's last value
 * @param ownJumps  share of the steps from frame to frame of one and the same sender that are jumps themselves
 */
record SenderChange(int known, double share, double chance, double error, double tail, double returning,
                    double ownJumps) {
    /** Whether two values of one sender belong together. */
    interface SameTrack {
        boolean fits(int earlier, int later);
    }

    static SenderChange of(SignalSeries series, int[] reversals, SameTrack track) {
        int[] previous = previousOfSame(series);
        int known = 0;
        int changed = 0;
        int judged = 0;
        int back = 0;
        for (int k : reversals) {
            if (series.sender[k] < 0 || series.sender[k - 1] < 0) continue;
            known++;
            if (series.sender[k] == series.sender[k - 1]) continue;
            changed++;
            if (previous[k] < 0) continue;
            judged++;
            if (track.fits(previous[k], k)) back++;
        }
        int own = 0;
        int ownJumps = 0;
        for (int k = 0; k < series.samples; k++) {
            if (previous[k] < 0 || series.sender[k] < 0) continue;
            own++;
            if (!track.fits(previous[k], k)) ownJumps++;
        }
        double chance = shuffled(series);
        double share = known == 0 ? Double.NaN : (double) changed / known;
        double error = known == 0 ? Double.NaN : Math.sqrt(Math.max(0, chance * (1 - chance)) / known);
        double tail = known == 0 || Double.isNaN(chance) ? 1
                : chance >= 1 ? 1 : 1 - new BinomialDistribution(known, chance).cumulativeProbability(changed - 1);
        return new SenderChange(known, share, chance, error, tail, judged == 0 ? Double.NaN : (double) back / judged,
                own == 0 ? Double.NaN : (double) ownJumps / own);
    }

    /** Index of the sender's previous sample, -1 where there is none since the recording's last gap. */
    private static int[] previousOfSame(SignalSeries series) {
        int[] previous = new int[series.samples];
        Map<Integer, Integer> last = new HashMap<>();
        for (int k = 0; k < series.samples; k++) {
            if (series.fresh[k]) last.clear();
            Integer before = last.put(series.sender[k], k);
            previous[k] = before == null ? -1 : before;
        }
        return previous;
    }

    private static double shuffled(SignalSeries series) {
        Map<Integer, Integer> counts = new HashMap<>();
        long total = 0;
        for (int k = 0; k < series.samples; k++) {
            if (series.sender[k] < 0) continue;
            counts.merge(series.sender[k], 1, Integer::sum);
            total++;
        }
        if (total < 2) return Double.NaN;
        double same = 0;
        for (int n : counts.values()) same += (double) n * (n - 1);
        return 1 - same / ((double) total * (total - 1));
    }
}
