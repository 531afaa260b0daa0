package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Signature.Meeting;
import buswitness.frames.BitString;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * A bus that arbitrates through the whole frame: two nodes that wait for it with the same message start together, and
 * where their bits part, the one with the weaker bit falls silent and sends again after the next rest. So of two frames
 * that both were due before the first one started, the lower byte string always comes first, whoever sends it. A single
 * node that sends twice has an order of its own, which knows nothing of the values.
 */
final class Turns {
    private static final int SMOOTH = 7;
    private static final int FEWEST_FRAMES = 12;
    private static final double JITTERS = 4;
    private static final double LEAST_MARGIN = 60e-6;
    private static final int FEWEST_CONTESTS = 4;

    private final MessageView view;
    private final FrameLog log;
    private final PairFinding pair;
    private int contests;
    private int firstWins;
    private int against;
    private int behind;
    private final List<Meeting> meetings = new ArrayList<>();

    Turns(MessageView view, PairFinding pair) {
        this.view = view;
        this.log = view.log;
        this.pair = pair;
    }

    Signature signature() {
        Track a = pair.a();
        Track b = pair.b();
        boolean combs = a.cyclic() && b.cyclic() && Math.min(a.frames(), b.frames()) >= FEWEST_FRAMES;
        if (!combs) return Signature.NOTHING;
        double[] due = new double[log.size()];
        Arrays.fill(due, Double.NaN);
        due(a, due);
        due(b, due);
        double margin = LEAST_MARGIN + JITTERS * Math.hypot(a.jitterSeconds(), b.jitterSeconds());
        for (int k = 0; k + 1 < view.wholeCount; k++) look(view.whole[k], view.whole[k + 1], due, margin);
        return new Signature(evidence(), against > 0 ? List.of() : meetings, Collision.Kind.IN_TURN, false);
    }

    /** When each frame of a track was due: by its schedule, whose phase frames around that did not wait tell. */
    private void due(Track track, double[] due) {
        int[] frames = view.framesOf(track);
        double period = track.periodSeconds();
        double[] tooth = new double[frames.length];
        double[] phase = new double[frames.length];
        int[] at = new int[frames.length];
        int free = 0;
        for (int i = 0; i < frames.length; i++) {
            double start = log.startSeconds(frames[i]);
            if (i > 0) {
                double since = start - log.startSeconds(frames[i - 1]);
                tooth[i] = tooth[i - 1] + Math.max(1, Math.rint(since / period));
            }
            if (!log.isFreeStart(frames[i])) continue;
            phase[free] = start - tooth[i] * period;
            at[free++] = i;
        }
        for (int i = 0, near = 0; i < frames.length && free > SMOOTH; i++) {
            while (near + 1 < free && at[near + 1] <= i) near++;
            int from = Math.max(0, Math.min(near - SMOOTH / 2, free - SMOOTH));
            double[] around = Arrays.copyOfRange(phase, from, from + SMOOTH);
            Arrays.sort(around);
            due[frames[i]] = around[SMOOTH / 2] + tooth[i] * period;
        }
    }

    private void look(int first, int second, double[] due, double margin) {
        int trackOfFirst = view.findings.trackOf(first);
        int trackOfSecond = view.findings.trackOf(second);
        boolean rivals = trackOfFirst == pair.a().index() && trackOfSecond == pair.b().index()
                || trackOfFirst == pair.b().index() && trackOfSecond == pair.a().index();
        if (!rivals) return;
        for (int i = first + 1; i <= second; i++) if (log.isFreeStart(i)) return;
        behind++;
        double start = log.startSeconds(first);
        boolean bothWaited = !log.isFreeStart(first) && due[first] < start - margin && due[second] < start - margin;
        if (!bothWaited) return;
        BitString won = view.meant(first);
        BitString lost = view.meant(second);
        int bit = Signature.firstDifference(won, lost);
        if (bit >= Math.min(won.size(), lost.size())) return;
        if (won.get(bit) != 0) {
            against++;
            return;
        }
        contests++;
        if (trackOfFirst == pair.a().index()) firstWins++;
        meetings.add(new Meeting(start, log.endPicos(second) * 1e-12, List.of(first, second), won, lost, won, bit,
                trackOfFirst, trackOfSecond, Say.text("Both were due before %.4f s. Their bits part at bit %d: the one"
                        + " with the active bit went on unharmed, the other fell silent and followed %.1f ms later.",
                start, bit, (log.startSeconds(second) - start) * 1e3)));
    }

    private Evidence evidence() {
        if (contests < FEWEST_CONTESTS || against > 0) return null;
        // In how many ways could the winners have been spread over these occasions without regard to the values?
        double strength = Math.min(Strength.MOST, Strength.logChoices(contests, firstWins));
        double from = meetings.get(0).atSeconds();
        double until = meetings.get(meetings.size() - 1).untilSeconds();
        String order = firstWins == 0 || firstWins == contests
                ? "; it was always the same of the two, so the order alone proves nothing"
                : Say.text(", %d times of the one and %d times of the other; a node that sends twice in an order of its own"
                        + " would do so by chance once in 10^%.1f", firstWins, contests - firstWins, strength);
        String says = Say.text("%d times both schedules waited for the bus at once. Each time the frame with the lower bytes"
                + " went first and the other followed within a frame's time, as this bus lets two nodes settle it bit by bit"
                + " (%d such pairs in all)%s.", contests, behind, order);
        return new Evidence(Kind.HEAD_ON, says, strength, from, until, 2 * contests, false);
    }
}
