package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.CombPair;
import buswitness.senders.Track;
import buswitness.senders.WireMean;
import java.util.Arrays;

/**
 * The frames that timing alone gives to either of two trains, whatever payload or wire said when frames were sorted: on
 * a tooth of the one and on none of the other, while both ran and away from where they meet. What these differ by on
 * the wire cannot have been made by sorting frames by the wire.
 *
 * @param first  log indexes in time order
 * @param second likewise
 */
record TimingSets(int[] first, int[] second) {
    private static final double ON_TOOTH_JITTERS = 6;
    private static final double CLEAR_JITTERS = 8;
    private static final double CLEAR_SHARE = 0.03;
    private static final double FAR_PERIODS = 30;
    private static final double MOST = 0.6;

    static TimingSets of(MessageView view, Track a, Track b) {
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        if (!a.cyclic() && !b.cyclic()) return new TimingSets(new int[0], new int[0]);
        Teeth ofA = Teeth.of(view, a);
        Teeth ofB = Teeth.of(view, b);
        int[] first = new int[view.wholeCount];
        int[] second = new int[view.wholeCount];
        int n = 0;
        int m = 0;
        for (int k = 0; k < view.wholeCount; k++) {
            int frame = view.whole[k];
            int track = view.findings.trackOf(frame);
            double at = view.log.startSeconds(frame);
            if (track >= 0 && track != a.index() && track != b.index() || at < from || at > until) continue;
            if (meeting(view, at, a, b)) continue;
            if (ofA.has(frame, ON_TOOTH_JITTERS, a) && !ofB.has(frame, CLEAR_JITTERS, b)) first[n++] = frame;
            else if (ofB.has(frame, ON_TOOTH_JITTERS, b) && !ofA.has(frame, CLEAR_JITTERS, a)) second[m++] = frame;
        }
        // Events lie on no tooth of the other: there the frames on none are theirs.
        if (!a.cyclic()) first = offTeeth(view, ofB, b, a, from, until);
        if (!b.cyclic()) second = offTeeth(view, ofA, a, b, from, until);
        return new TimingSets(a.cyclic() ? Arrays.copyOf(first, n) : first,
                b.cyclic() ? Arrays.copyOf(second, m) : second);
    }

    /** While both ran, as they were sorted. */
    static TimingSets sorted(MessageView view, Track a, Track b) {
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        return new TimingSets(within(view.log, view.framesOf(a), from, until),
                within(view.log, view.framesOf(b), from, until));
    }

    private static int[] offTeeth(MessageView view, Teeth teeth, Track comb, Track events, double from, double until) {
        int[] off = new int[view.wholeCount];
        int n = 0;
        for (int k = 0; k < view.wholeCount; k++) {
            int frame = view.whole[k];
            int track = view.findings.trackOf(frame);
            double at = view.log.startSeconds(frame);
            boolean ours = track < 0 || track == events.index() || track == comb.index();
            if (ours && at >= from && at <= until && !teeth.has(frame, CLEAR_JITTERS, comb)) off[n++] = frame;
        }
        return Arrays.copyOf(off, n);
    }

    static int[] within(FrameLog log, int[] frames, double from, double until) {
        return Arrays.stream(frames)
                .filter(f -> log.startSeconds(f) >= from && log.startSeconds(f) <= until).toArray();
    }

    /**
     * Whether the two trains are most of the message while both ran: of a message taken apart into more pieces each may
     * have been given what it is by the wire.
     */
    boolean mostOf(MessageView view, Track a, Track b) {
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        int others = 0;
        int all = 0;
        for (int k = 0; k < view.wholeCount; k++) {
            double at = view.log.startSeconds(view.whole[k]);
            if (at < from || at > until) continue;
            int track = view.findings.trackOf(view.whole[k]);
            all++;
            if (track >= 0 && track != a.index() && track != b.index()) others++;
        }
        return others <= (1 - MOST) * all && Math.min(first.length, second.length) >= WireMean.FEWEST;
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

    private static boolean meeting(MessageView view, double at, Track a, Track b) {
        if (view.timing == null) return false;
        for (CombPair pair : view.timing.pairs()) {
            boolean these = pair.first() == a.index() && pair.second() == b.index()
                    || pair.first() == b.index() && pair.second() == a.index();
            if (!these) continue;
            for (CombPair.Crossing c : pair.crossings()) {
                if (at >= c.fromSeconds() && at <= c.untilSeconds()) return true;
            }
        }
        return false;
    }

    /** Teeth of a train, told from its frames nearby. */
    private record Teeth(FrameLog log, int[] members) {
        static Teeth of(MessageView view, Track track) {
            return new Teeth(view.log, track.cyclic() ? view.framesOf(track) : new int[0]);
        }

        /** Whether a frame lies on a tooth that its neighbours in the train, itself left out, give. */
        boolean has(int frame, double jitters, Track track) {
            if (members.length == 0) return false;
            double close = Math.max(jitters * track.jitterSeconds(), CLEAR_SHARE * track.periodSeconds());
            int found = Arrays.binarySearch(members, frame);
            int before = found >= 0 ? found - 1 : -found - 2;
            int after = found >= 0 ? found + 1 : -found - 1;
            return before >= 0 && near(frame, members[before], track, close)
                    || after < members.length && near(frame, members[after], track, close);
        }

        private boolean near(int frame, int reference, Track track, double close) {
            double since = Math.abs(log.startSeconds(frame) - log.startSeconds(reference)) / track.periodSeconds();
            return since < FAR_PERIODS && Math.abs(since - Math.rint(since)) * track.periodSeconds() < close;
        }
    }
}
