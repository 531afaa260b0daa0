package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Prediction.Meeting;
import buswitness.clashes.Prediction.Teeth;
import buswitness.frames.FrameLog;
import java.util.Arrays;
import java.util.List;

/**
 * Frames found against frames due. Identical frames that two nodes start in the same bit differ in none of them, raise
 * no error and come out as ONE (arbitration and error rules of ISO 11898-1), so at a meeting of two schedules that say
 * the same a frame is missing. How often one is missing elsewhere says what chance does. One node whose second task
 * overwrites a frame that still waits looks the same, so this never weighs as a kind of its own.
 *
 * @param due     teeth of both schedules, long silences left out
 * @param came    of them, with a frame
 * @param alike   meetings without damage at which both schedules say the same
 * @param merged  of them, with one frame
 * @param unlike  meetings without damage at which they say different things
 * @param unlikeOne of them, with one frame
 * @param elsewhere teeth that lie at no meeting
 * @param missing of them, without a frame
 */
record Merged(int due, int came, int alike, int merged, int unlike, int unlikeOne, int elsewhere, int missing) {
    private static final int FEWEST = 3;
    private static final double MOST = 2;
    /** So many in a row are a silence of the sender or a gap in the recording, not a lost frame. */
    private static final int SILENCE = 4;

    static Merged count(MessageView view, List<Meeting> meetings, Teeth first, Teeth second, List<Burst> bursts,
                        double within, double gap) {
        boolean[] metFirst = new boolean[first.at().length];
        boolean[] metSecond = new boolean[second.at().length];
        int[] pairs = new int[2];
        int[] one = new int[2];
        for (Meeting m : meetings) {
            metFirst[m.first()] = true;
            metSecond[m.second()] = true;
            if (bursts.stream().anyMatch(x -> Math.abs(x.fromSeconds() - m.from()) < gap)) continue;
            int kind = alike(view.log, first, second, m.from() - within) ? 0 : 1;
            pairs[kind]++;
            if (seen(view, m.from() - within, m.until() + 3 * within) == 1) one[kind]++;
        }
        int[] a = outside(first, metFirst);
        int[] b = outside(second, metSecond);
        return new Merged(a[0] + b[0], a[1] + b[1], pairs[0], one[0], pairs[1], one[1], a[2] + b[2], a[3] + b[3]);
    }

    /** Whether the last frames of both schedules before a time carry the same. */
    private static boolean alike(FrameLog log, Teeth first, Teeth second, double before) {
        int a = last(log, first.frames(), before);
        int b = last(log, second.frames(), before);
        return a >= 0 && b >= 0 && Arrays.equals(log.data(a), log.data(b));
    }

    private static int last(FrameLog log, int[] frames, double before) {
        int low = 0;
        int high = frames.length;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (log.startSeconds(frames[middle]) < before) low = middle + 1;
            else high = middle;
        }
        return low == 0 ? -1 : frames[low - 1];
    }

    private static int seen(MessageView view, double from, double until) {
        int low = 0;
        int high = view.wholeCount;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (view.log.startSeconds(view.whole[middle]) < from) low = middle + 1;
            else high = middle;
        }
        int k = low;
        while (k < view.wholeCount && view.log.startSeconds(view.whole[k]) <= until) k++;
        return k - low;
    }

    /** Due, came; of those at no meeting due and missing. */
    private static int[] outside(Teeth teeth, boolean[] met) {
        int[] sums = new int[4];
        int n = met.length;
        for (int k = 0; k < n;) {
            int end = k;
            while (end < n && !teeth.has()[end]) end++;
            boolean silent = end - k >= SILENCE;
            for (; k < end; k++) {
                if (silent) continue;
                sums[0]++;
                if (!met[k]) sums[2]++;
                if (!met[k]) sums[3]++;
            }
            if (k == n) break;
            sums[0]++;
            sums[1]++;
            if (!met[k]) sums[2]++;
            k++;
        }
        return sums;
    }

    /** Half of what the missing frames weigh against chance, for neighbours are not independent. */
    double strength() {
        if (merged < FEWEST) return 0;
        double gone = (missing + 1.0) / (elsewhere + 2.0);
        double chance = Prediction.tail(alike, merged, Math.min(1, 2 * gone * (1 - gone)));
        return Math.max(0, Math.min(MOST, -0.5 * Math.log10(chance)));
    }

    String says() {
        String all = Say.text(" Both schedules were due %d times and %d frames came", due, came);
        String away = elsewhere == 0 ? "" : Say.text("; away from the meetings %s are missing", Say.share(missing,
                elsewhere));
        if (alike + unlike == 0) return all + away + ".";
        if (merged >= FEWEST) {
            return all + Say.text("; in %s meetings without damage, at which both say the same, one frame came where"
                    + " two"
                    + " were due%s. Identical frames that start together come out as one; one node that overwrites a"
                    + " waiting"
                    + " frame gives the same.", Say.share(merged, alike), away);
        }
        if (alike == 0) {
            return all + Say.text("; at the %d meetings without damage they say different things, so nothing could"
                    + " merge%s%s.",
                    unlike, unlikeOne >= FEWEST ? Say.text(" (in %d of them one frame came where two were due)", unlikeOne)
                            : "", away);
        }
        return all + Say.text("; in %s meetings without damage, at which both say the same, one frame came where two"
                + " were due:"
                + " too few to tell%s.", Say.share(merged, alike), away);
    }

    List<Figure> figures() {
        return List.of(new Figure("frames_due", due), new Figure("frames_came", came),
                new Figure("meetings_of_identical_frames", alike), new Figure("meetings_with_one_frame", merged),
                new Figure("due_elsewhere", elsewhere), new Figure("missing_elsewhere", missing));
    }
}
