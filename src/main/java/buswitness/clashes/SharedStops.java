package buswitness.clashes;

import buswitness.frames.MessageKey;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * Messages that fall silent together and begin again together, time and again, while others go on: one node that
 * restarts, or several on one supply. Each stretch between two restarts is too short to know a clock well, so the
 * silences tie such messages together better than their clocks do.
 *
 * @param keys   the messages, ascending; two at least
 * @param stops  how often
 * @param shortest seconds between a message's last frame and its next, of the message that comes most often
 * @param longest likewise
 */
record SharedStops(SortedSet<Long> keys, int stops, double shortest, double longest) {
    private static final int FEWEST_STOPS = 3;
    /** Periods of the message that comes most often; two or three missing frames have many causes. */
    private static final double SILENT_PERIODS = 4;
    private static final double MOST_SILENT = 0.5;
    /** So many frames of another message would have come in the silences: none of them is chance only in a regular one. */
    private static final double FEWEST_EXPECTED = 3;
    private static final double GOES_ON = 0.5;
    private static final double REGULAR = 0.8;
    private static final double APART = 5;
    /** A clock's place within one stretch, in jitters: what two stretches' phases may differ by for no reason of clocks. */
    private static final double PLACE_JITTERS = 2;

    SharedStops {
        keys = Collections.unmodifiableSortedSet(new TreeSet<>(keys));
    }

    /** A message's own rhythm: its best schedule. */
    static Track rhythm(MessageView view) {
        Track best = null;
        for (Track t : view.tracks) if (t.cyclic() && (best == null || t.frames() > best.frames())) best = t;
        int cyclic = view.tracks.stream().filter(Track::cyclic).mapToInt(Track::frames).sum();
        return best == null || cyclic < REGULAR * view.wholeCount ? null : best;
    }

    /** Every set of such messages; a message is in one at most. */
    static List<SharedStops> of(List<MessageView> views, BusFacts bus) {
        List<SharedStops> found = new ArrayList<>();
        SortedSet<Long> taken = new TreeSet<>();
        List<MessageView> byPeriod = new ArrayList<>(views);
        byPeriod.removeIf(v -> rhythm(v) == null || v.meant.isAsked());
        byPeriod.sort((x, y) -> Double.compare(rhythm(x).periodSeconds(), rhythm(y).periodSeconds()));
        for (MessageView leader : byPeriod) {
            if (taken.contains(leader.key)) continue;
            SharedStops stops = of(leader, byPeriod, taken, bus);
            if (stops == null) continue;
            found.add(stops);
            taken.addAll(stops.keys);
        }
        return found;
    }

    private static SharedStops of(MessageView leader, List<MessageView> views, SortedSet<Long> taken, BusFacts bus) {
        List<double[]> silences = silences(leader, bus);
        double silent = 0;
        double longest = 0;
        double shortest = Double.POSITIVE_INFINITY;
        for (double[] s : silences) {
            silent += s[1] - s[0];
            longest = Math.max(longest, s[1] - s[0]);
            shortest = Math.min(shortest, s[1] - s[0]);
        }
        if (silences.size() < FEWEST_STOPS || silent > MOST_SILENT * bus.seconds()) return null;
        SortedSet<Long> keys = new TreeSet<>(List.of(leader.key));
        boolean othersGoOn = false;
        for (MessageView view : views) {
            if (view == leader || taken.contains(view.key)) continue;
            double expected = silent / rhythm(view).periodSeconds();
            int within = within(view, silences);
            if (within >= GOES_ON * expected && within >= FEWEST_STOPS) othersGoOn = true;
            boolean quiet = within == 0 && expected >= FEWEST_EXPECTED;
            if (quiet && !clocksDeny(leader, view, silences.size())) keys.add(view.key);
        }
        return othersGoOn && keys.size() > 1 ? new SharedStops(keys, silences.size(), shortest, longest) : null;
    }

    private static List<double[]> silences(MessageView view, BusFacts bus) {
        double longest = SILENT_PERIODS * rhythm(view).periodSeconds();
        List<double[]> silences = new ArrayList<>();
        for (int k = 1; k < view.wholeCount; k++) {
            double from = view.log.startSeconds(view.whole[k - 1]);
            double until = view.log.startSeconds(view.whole[k]);
            boolean recorded = bus.gaps().stream().noneMatch(g -> g.untilPicos() * 1e-12 > from
                    && g.fromPicos() * 1e-12 < until);
            if (until - from > longest && recorded) silences.add(new double[] {from, until});
        }
        return silences;
    }

    /** Frames that start within the silences, a frame's own task before and after left out. */
    private static int within(MessageView view, List<double[]> silences) {
        int n = 0;
        for (double[] s : silences) {
            double margin = 0.05 * (s[1] - s[0]);
            n += Math.max(0, position(view, s[1] - margin) - position(view, s[0] + margin));
        }
        return n;
    }

    /** How many of its whole frames start before. */
    private static int position(MessageView view, double seconds) {
        int low = 0;
        int high = view.wholeCount;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (view.log.startSeconds(view.whole[middle]) < seconds) low = middle + 1;
            else high = middle;
        }
        return low;
    }

    private static boolean clocksDeny(MessageView a, MessageView b, int stops) {
        Track x = rhythm(a);
        Track y = rhythm(b);
        if (Double.isNaN(x.clockPpm()) || Double.isNaN(y.clockPpm())) return false;
        double error = Math.hypot(error(x, stops), error(y, stops));
        return Math.abs(x.clockPpm() - y.clockPpm()) > APART * error;
    }

    private static double error(Track t, int stops) {
        double stretch = (t.untilSeconds() - t.fromSeconds()) / (stops + 1);
        double place = PLACE_JITTERS * t.jitterSeconds() / stretch * 1e6;
        return Math.hypot(t.clockPpmError() > 0 ? t.clockPpmError() : 0, place);
    }

    /** What the silences say of one of the messages. */
    String says(long key) {
        String others = keys.stream().filter(k -> k != key).map(MessageKey::text).collect(Collectors.joining(", "));
        return Say.text("It falls silent %d times, for %.2f to %.2f s, and begins again, every time together with %s,"
                + " while other messages go on: one unit that restarts, or several on one supply.", stops, shortest,
                longest, others);
    }
}
