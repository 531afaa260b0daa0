package buswitness.clashes;

import buswitness.clashes.Burst.Match;
import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Timing.Relation;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * When two drifting schedules must meet, against where damaged frames were found. Both wait when the bus is busy and
 * start together when it falls idle, so teeth meet when they lie within the longest frame and four jitters. Each
 * stretch of meetings counts once, hit or missed, and so does damage elsewhere, for what strikes once may go on for a
 * while. That two timers exist is schedule evidence; this says only whether the damage keeps to their meetings, and
 * what the head-on evidence has already counted for it is taken off.
 */
final class Prediction {
    private static final double JITTERS = 4;
    private static final double SPELL_GAP_SECONDS = 2;
    private static final int SMOOTH = 7;
    private static final int FEWEST_FRAMES = 20;
    private static final double LONGEST_AHEAD_SECONDS = 7200;
    private static final int MOST_TOLD = 4;

    private final MessageView view;
    private final Track a;
    private final Track b;
    private final double within;
    private final double gap;
    private final List<double[]> spells = new ArrayList<>();
    private final List<Meeting> pairs = new ArrayList<>();

    /** Two teeth that lie together, by their numbers in their schedules. */
    record Meeting(double from, double until, int first, int second) {}

    private Prediction(MessageView view, Track a, Track b) {
        this.view = view;
        this.a = a;
        this.b = b;
        within = longestFrame(view.log) + JITTERS * Math.hypot(a.jitterSeconds(), b.jitterSeconds());
        gap = Math.max(SPELL_GAP_SECONDS, 3 * Math.max(a.periodSeconds(), b.periodSeconds()));
    }

    /** Null where there are no two drifting schedules, or their meetings fill the recording. */
    static Evidence of(MessageView view, PairFinding pair, List<Burst> bursts) {
        // Elsewhere a meeting leaves no damage by which to tell it.
        if (!view.meant.breaksFrames()) return null;
        if (pair == null || pair.timing().relation() != Relation.DRIFTING) return null;
        Track a = pair.a();
        Track b = pair.b();
        if (!a.cyclic() || !b.cyclic() || Math.min(a.frames(), b.frames()) < FEWEST_FRAMES) return null;
        return new Prediction(view, a, b).evidence(pair, bursts);
    }

    private static double longestFrame(FrameLog log) {
        long longest = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i)) longest = Math.max(longest, log.endPicos(i) - log.startPicos(i));
        }
        return longest * 1e-12;
    }

    /**
     * Times at which a schedule was due.
     *
     * @param has whether a frame came
     */
    record Teeth(double[] at, boolean[] has, int[] frames) {}

    /** The phase of a tooth is taken from the frames around, so that wander does not add up. */
    private Teeth teeth(Track track) {
        int[] frames = view.framesOf(track);
        double period = track.periodSeconds();
        int n = frames.length;
        int[] tooth = new int[n];
        double[] phase = new double[n];
        for (int i = 0; i < n; i++) {
            double at = view.log.startSeconds(frames[i]);
            if (i > 0) {
                double since = at - view.log.startSeconds(frames[i - 1]);
                tooth[i] = tooth[i - 1] + (int) Math.max(1, Math.rint(since / period));
            }
            phase[i] = at - tooth[i] * period;
        }
        double[] teeth = new double[n == 0 ? 0 : tooth[n - 1] + 1];
        boolean[] has = new boolean[teeth.length];
        for (int k : tooth) has[k] = true;
        for (int k = 0, i = 0; k < teeth.length; k++) {
            while (i + 1 < n && tooth[i + 1] <= k) i++;
            double[] near = Arrays.copyOfRange(phase, Math.max(0, i - SMOOTH), Math.min(n, i + SMOOTH + 1));
            Arrays.sort(near);
            teeth[k] = near[near.length / 2] + k * period;
        }
        return new Teeth(teeth, has, frames);
    }

    private void meet(double[] first, double[] second) {
        int k = 0;
        for (int i = 0; i < first.length; i++) {
            double at = first[i];
            while (k < second.length && second[k] < at - within) k++;
            if (k == second.length || second[k] > at + within) continue;
            pairs.add(new Meeting(Math.min(at, second[k]), Math.max(at, second[k]), i, k));
            double[] last = spells.isEmpty() ? null : spells.get(spells.size() - 1);
            if (last != null && at - last[1] <= gap) last[1] = Math.max(at, second[k]);
            else spells.add(new double[] {Math.min(at, second[k]), Math.max(at, second[k])});
        }
    }

    private Evidence evidence(PairFinding pair, List<Burst> bursts) {
        Teeth first = teeth(a);
        Teeth second = teeth(b);
        meet(first.at, second.at);
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        double covered = 0;
        for (double[] s : spells) covered += Math.min(gap, until - from) * 0.5 + s[1] - s[0];
        double share = Math.min(1, covered / (until - from));
        Set<Integer> hit = new HashSet<>();
        int elsewhere = 0;
        int frames = 0;
        double lastElsewhere = Double.NEGATIVE_INFINITY;
        for (Burst burst : bursts) {
            if (burst.fromSeconds() < from || burst.fromSeconds() > until) continue;
            frames += burst.frames().size();
            int spell = burst.retried() ? spellAt(burst.fromSeconds()) : -1;
            if (spell >= 0) hit.add(spell);
            else {
                if (burst.fromSeconds() - lastElsewhere > gap) elsewhere++;
                lastElsewhere = burst.fromSeconds();
            }
        }
        double chance = tail(hit.size() + elsewhere, hit.size(), share);
        double strength = hit.isEmpty() ? 0 : Math.max(0, Math.min(Strength.MOST, -Math.log10(chance) - counted(bursts)));
        Merged merged = Merged.count(view, pairs, first, second, bursts, within, gap);
        String says = meetings(hit.size(), elsewhere, chance) + merged.says() + next(pair, until);
        List<Figure> figures = new ArrayList<>(merged.figures());
        figures.add(new Figure("meetings", spells.size()));
        figures.add(new Figure("meetings_with_damage", hit.size()));
        figures.add(new Figure("damage_elsewhere", elsewhere));
        return new Evidence(Kind.PREDICTION, says, Math.max(strength, merged.strength()), from, until, frames, false,
                figures);
    }

    private int spellAt(double at) {
        for (int i = 0; i < spells.size(); i++) {
            if (at >= spells.get(i)[0] - within && at <= spells.get(i)[1] + 2 * within) return i;
        }
        return -1;
    }

    /** Probability of {@code hits} or more of {@code all} where each comes with this share. */
    static double tail(int all, int hits, double share) {
        double sum = 0;
        for (int k = hits; k <= all; k++) {
            sum += Math.pow(10, Strength.logChoices(all, k)) * Math.pow(share, k) * Math.pow(1 - share, all - k);
        }
        return Math.min(1, Math.max(1e-300, sum));
    }

    /** What the head-on evidence already counts for both schedules being due; see Judgement. */
    private static double counted(List<Burst> bursts) {
        double sum = 0;
        Set<Integer> bits = new HashSet<>();
        for (Burst burst : bursts) {
            if (!Judgement.fits(burst)) continue;
            Match m = burst.match();
            sum += bits.add(m.breakBit()) ? m.rarity() : Math.min(1, m.rarity());
        }
        return sum;
    }

    private String meetings(int hits, int elsewhere, double chance) {
        String near = Say.text("within %.2f ms, so that both may wait for the same frame to end", within * 1e3);
        if (spells.isEmpty()) {
            return Say.text("By their clocks the two schedules do not meet (%s) in this recording; %s.", near,
                    elsewhere == 0 ? "and no damaged frame was found" : Say.text("damage in %d stretches has another"
                            + " cause",
                            elsewhere));
        }
        StringBuilder times = new StringBuilder();
        for (int i = 0; i < Math.min(MOST_TOLD, spells.size()); i++) {
            times.append(i == 0 ? "" : ", ").append(Say.text("%.2f to %.2f s", spells.get(i)[0], spells.get(i)[1]));
        }
        if (spells.size() > MOST_TOLD) times.append(" and so on");
        String found = hits + elsewhere == 0 ? "No damaged frame was found: two nodes collide there only if both wait"
                : Say.text("Damaged frames were found in %d of them (%d missed: two nodes collide there only if both"
                        + " wait),"
                        + " and in %d stretches elsewhere; by chance alone so with probability %.2g", hits,
                        spells.size() - hits, elsewhere, chance);
        return Say.text("By their clocks the two schedules meet (%s) in %d stretch%s: %s. %s.", near, spells.size(),
                spells.size() == 1 ? "" : "es", times, found);
    }

    /** Both schedules carried on beyond the recording until they meet; the error of their drift sets how sure. */
    private String next(PairFinding pair, double end) {
        double x = ahead(a, end);
        double y = ahead(b, end);
        double quiet = spells.isEmpty() ? end : spells.get(spells.size() - 1)[1];
        while (x < end + LONGEST_AHEAD_SECONDS) {
            if (Math.abs(x - y) <= within && Math.min(x, y) - quiet > gap) {
                double away = Math.min(x, y) - end;
                double drift = Math.abs(pair.timing().driftPpm());
                double error = pair.timing().driftErrorPpm() / drift * away;
                return Double.isNaN(error) ? Say.text(" Next meeting predicted %.0f s after the recording.", away)
                        : Say.text(" Next meeting predicted %.0f +/- %.0f s after the recording, if both clocks stay"
                                + " as they"
                                + " are.", away, Math.max(1, error));
            }
            if (Math.abs(x - y) <= within) quiet = Math.min(x, y);
            if (x < y) x += a.periodSeconds();
            else y += b.periodSeconds();
        }
        return " No further meeting within two hours.";
    }

    private double ahead(Track track, double end) {
        double[] teeth = teeth(track).at;
        double at = teeth[teeth.length - 1];
        return at + Math.max(0, Math.ceil((end - at) / track.periodSeconds())) * track.periodSeconds();
    }
}
