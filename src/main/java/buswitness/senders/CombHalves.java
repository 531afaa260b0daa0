package buswitness.senders;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Puts the even and the odd frames of one schedule together again. Where a second sender has twice the period, the tidiest
 * description of all frames is three combs of that longer period; two of them lie half a period apart, do not drift and
 * carry one value, and are one schedule of half the period. Looked for only beside a third comb: two combs alone are for
 * {@link Separation} to weigh.
 */
final class CombHalves {
    private static final double ALIKE = 0.001;
    private static final double DRIFTS = 3;
    private static final double COUNTS = 0.85;
    /** Of a period: more is no schedule of that period. */
    private static final double MOST_JITTER = 0.12;

    private CombHalves() {}

    /** The trains, halves put together, in order of their first frame. */
    static List<Train> joined(MessageFrames frames, RecordedTime time, List<Train> trains) {
        List<Train> all = new ArrayList<>(trains);
        for (boolean again = true; again && all.size() > 2;) {
            again = false;
            for (int a = 0; a < all.size() && !again; a++) {
                for (int b = a + 1; b < all.size() && !again; b++) {
                    if (!halves(frames, all.get(a), all.get(b))) continue;
                    Train whole = whole(frames, time, all.get(a), all.get(b));
                    if (whole.jitter > MOST_JITTER * whole.meanPeriod) continue;
                    all.remove(b);
                    all.set(a, whole);
                    again = true;
                }
            }
        }
        all.sort(Comparator.comparingDouble(Train::from));
        return all;
    }

    private static boolean halves(MessageFrames frames, Train a, Train b) {
        if (a.combs.size() != 1 || b.combs.size() != 1) return false;
        if (Math.abs(a.meanPeriod / b.meanPeriod - 1) > ALIKE) return false;
        if (drift(frames, a, b) || !Separation.evenly(List.of(a, b), a.meanPeriod / 2)) return false;
        return CombJoin.payloadsAlike(frames, List.of(a, b), ~counters(frames, a.combs.get(0), b.combs.get(0)));
    }

    private static boolean drift(MessageFrames frames, Train a, Train b) {
        PhaseDifference d = PhaseDifference.of(frames, a, Double.NaN, frames, b, Double.NaN);
        if (!Double.isNaN(d.driftPpm())) return Math.abs(d.driftPpm()) > DRIFTS * d.driftPpmError();
        // One of them always waits, as the frame that follows another of its own node does.
        double error = Math.hypot(a.periodError(), b.periodError());
        return !(Math.abs(a.meanPeriod - b.meanPeriod) <= DRIFTS * error);
    }

    /** Bits of counters that run on from the one to the other; in either half alone their lowest bit stands still. */
    private static long counters(MessageFrames frames, Comb a, Comb b) {
        long mask = 0;
        for (int width = 4; width <= 8; width += 4) {
            for (int shift = 0; shift < 64; shift += width) if (counts(frames, a, b, shift, width)) {
                mask |= (1L << width) - 1 << shift;
            }
        }
        return mask;
    }

    private static boolean counts(MessageFrames frames, Comb a, Comb b, int shift, int width) {
        int[] steps = new int[1 << width];
        int all = 0;
        int ia = 0;
        int ib = 0;
        int last = -1;
        while (ia < a.size || ib < b.size) {
            boolean first = ib == b.size || ia < a.size && a.member[ia] < b.member[ib];
            int member = first ? a.member[ia++] : b.member[ib++];
            if (last >= 0) {
                int step = (int) (frames.word[member] >>> shift) - (int) (frames.word[last] >>> shift);
                steps[step & steps.length - 1]++;
                all++;
            }
            last = member;
        }
        for (int step = 1; step < steps.length; step += 2) if (steps[step] >= COUNTS * all) return true;
        return false;
    }

    private static Train whole(MessageFrames frames, RecordedTime time, Train a, Train b) {
        Train whole = new Train();
        whole.jitter = Math.max(a.jitter, b.jitter);
        whole.combs.add(CombJoin.merged(frames, a.combs.get(0), b.combs.get(0), a.meanPeriod / 2));
        whole.refit(frames, time);
        return whole;
    }
}
