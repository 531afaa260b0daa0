package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import buswitness.senders.WireMean;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntPredicate;

/**
 * The frames of either of two trains while both ran, chosen by something that is not the wire: so what they differ by
 * on the wire cannot have been made by sorting frames by the wire.
 *
 * @param first  log indexes in time order
 * @param second likewise
 */
record TimingSets(int[] first, int[] second) {
    private static final double ON_TOOTH_JITTERS = 6;
    private static final double CLEAR_JITTERS = 8;
    /** A frame that waits behind others is late by some frame lengths: the lesser of this and a share of the period. */
    private static final double WAITED_FRAMES = 3;
    private static final double CLEAR_SHARE = 0.03;
    private static final double FAR_PERIODS = 30;

    boolean enough() {
        return Math.min(first.length, second.length) >= WireMean.FEWEST;
    }

    /**
     * By timing alone, whatever train payload or wire gave a frame to: on a tooth of the one, on none of the other and
     * of no third. Events are the frames on no tooth.
     */
    static TimingSets of(MessageView view, Track a, Track b) {
        if (!a.cyclic() && !b.cyclic()) return new TimingSets(new int[0], new int[0]);
        double frame = frameSeconds(view);
        Teeth ofA = Teeth.of(view, a, frame);
        Teeth ofB = Teeth.of(view, b, frame);
        List<Teeth> others = new ArrayList<>();
        for (Track t : view.tracks) {
            if (t.cyclic() && t.index() != a.index() && t.index() != b.index()) others.add(Teeth.of(view, t, frame));
        }
        IntPredicate alone = f -> others.stream().noneMatch(t -> t.near(f, CLEAR_JITTERS));
        IntPredicate isA = f -> !ofB.near(f, CLEAR_JITTERS) && (!a.cyclic() || ofA.near(f, ON_TOOTH_JITTERS))
                && alone.test(f);
        IntPredicate isB = f -> !ofA.near(f, CLEAR_JITTERS) && (!b.cyclic() || ofB.near(f, ON_TOOTH_JITTERS))
                && alone.test(f);
        int[] besides = besides(view, a, b);
        return new TimingSets(Arrays.stream(besides).filter(isA).toArray(),
                Arrays.stream(besides).filter(isB).toArray());
    }

    /** As they were sorted by timing and payload, those left out that were not sure before the wire was looked at. */
    static TimingSets withoutWire(MessageView view, Track a, Track b) {
        TimingSets all = sorted(view, a, b);
        IntPredicate free = view.findings::freeOfWire;
        return new TimingSets(Arrays.stream(all.first).filter(free).toArray(),
                Arrays.stream(all.second).filter(free).toArray());
    }

    /** While both ran, as they were sorted. */
    static TimingSets sorted(MessageView view, Track a, Track b) {
        int[] besides = besides(view, a, b);
        return new TimingSets(
                Arrays.stream(besides).filter(f -> view.findings.trackOf(f) == a.index()).toArray(),
                Arrays.stream(besides).filter(f -> view.findings.trackOf(f) == b.index()).toArray());
    }

    /** Whole frames of the message while both trains ran. */
    private static int[] besides(MessageView view, Track a, Track b) {
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        return Arrays.stream(view.whole, 0, view.wholeCount)
                .filter(f -> view.log.startSeconds(f) >= from && view.log.startSeconds(f) <= until).toArray();
    }

    private static double frameSeconds(MessageView view) {
        int middle = view.whole[view.wholeCount / 2];
        return (view.log.endPicos(middle) - view.log.startPicos(middle)) * 1e-12;
    }

    /** How often a frame of one follows one of the other. */
    int turns() {
        int turns = 0;
        int last = 0;
        int i = 0;
        int j = 0;
        while (i < first.length || j < second.length) {
            boolean one = j == second.length || i < first.length && first[i] < second[j];
            int now = one ? 1 : 2;
            if (one) i++;
            else j++;
            if (last != 0 && now != last) turns++;
            last = now;
        }
        return turns;
    }

    /** Teeth of a train, told from its frames nearby; events have none. */
    private record Teeth(FrameLog log, Track track, int[] members, double waitSeconds) {
        static Teeth of(MessageView view, Track track, double frameSeconds) {
            return new Teeth(view.log, track, track.cyclic() ? view.framesOf(track) : new int[0],
                    Math.min(WAITED_FRAMES * frameSeconds, CLEAR_SHARE * track.periodSeconds()));
        }

        /** Whether a frame lies near a tooth that its neighbours in the train, itself left out, give. */
        boolean near(int frame, double jitters) {
            if (members.length == 0) return false;
            double close = Math.max(jitters * track.jitterSeconds(), waitSeconds);
            int found = Arrays.binarySearch(members, frame);
            int before = found >= 0 ? found - 1 : -found - 2;
            int after = found >= 0 ? found + 1 : -found - 1;
            return before >= 0 && near(frame, members[before], close)
                    || after < members.length && near(frame, members[after], close);
        }

        private boolean near(int frame, int reference, double close) {
            double since = Math.abs(log.startSeconds(frame) - log.startSeconds(reference)) / track.periodSeconds();
            return since < FAR_PERIODS && Math.abs(since - Math.rint(since)) * track.periodSeconds() < close;
        }
    }
}
