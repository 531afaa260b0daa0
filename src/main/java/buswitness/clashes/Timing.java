package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.senders.CombPair;
import buswitness.senders.MessageTiming;
import buswitness.senders.Track;

import java.util.HashSet;
import java.util.Set;

/**
 * How two trains of one message stand to each other in time. Drift, split gaps and the census of frames are one kind of
 * evidence, for they have one cause; the strongest of them speaks.
 */
final class Timing {
    /** Two combs must run side by side for this many periods of the slower one. */
    private static final double ALIKE = 0.01;
    private static final double UNLIKE_RHYTHMS = 1;
    private static final double SPLINTER_SHARE = 0.9;
    private static final double NEWS_SHARE = 0.5;
    private static final double PIECE_SHARE = 0.5;
    /** No recording compares two clocks better: they wander by more than this in a minute. */
    private static final double LEAST_ERROR_PPM = 0.2;
    private static final double DENIED_STRENGTH = 1;
    private static final double SIDE_BY_SIDE_PERIODS = 5;
    private static final double SHORT_PERIODS = 3.5;
    private static final double SHORT_SHARE = 0.8;
    /** No drift within this error means one timer: real clocks wander 3 to 7 ppm within a minute. */
    static final double SURE_PPM = 1.5;
    static final double DRIFT_DEVIATIONS = 6;
    private static final double NO_DRIFT_DEVIATIONS = 4;
    /** A drift must carry the combs this many jitters apart, or it is the wander of one comb read as two. */
    private static final double TRAVEL_JITTERS = 6;
    /** Frames beyond one comb's own, as a share of what the slower comb alone would send. */
    private static final double CENSUS_SHARE = 0.4;
    private static final int FEWEST_OF_A_COMB = 10;
    private static final int FEWEST_SPLITS = 3;
    private static final int MANY_SPLITS = 20;
    /** The pair's own error, which holds the wander of both, is replaced only where it is several times larger. */
    private static final double FITTED_BETTER = 3;
    private static final double SURE_PERIODS = 60;
    private static final double WANDER_PPM = 10;
    private static final double LOCKED = 0.5;
    private static final double LOCKED_LOG_CHANCE = -3;

    private Timing() {}

    /** What the two trains are to each other. */
    enum Relation {
        /** One ended before the other began. */
        ONE_AFTER_THE_OTHER,
        /** Two timers. */
        DRIFTING,
        /** One timer: no drift within a small error. */
        IN_STEP,
        /** Two combs, too short or too coarse to say whether they drift. */
        UNRESOLVED,
        /** Two combs of a message whose other frames show that it was not understood. */
        PIECES,
        /** A comb, and beside it frames in a rhythm of no round time that each bring news. */
        INPUT_RHYTHM,
        /** A comb, and frames that fit no comb. */
        COMB_AND_EVENTS,
        /** The frames beside the comb lie on the task grid that the comb lies on. */
        COMB_AND_TASK_EVENTS,
        /** All frames together make one comb, of which the trains are parts. */
        ONE_COMB,
        /** Nothing periodic. */
        EVENTS,
        /** A master asks for the message (LIN): the times are its own and say nothing about who answers. */
        ASKED
    }

    /**
     * @param driftPpm      second against first, NaN where there is no common nominal period
     * @param sideBySide    seconds that both ran at once
     * @param evidence      null where the timing says nothing
     */
    record Result(Relation relation, double driftPpm, double driftErrorPpm, double sideBySide, Evidence evidence) {

        /** Whether the wire denied a drift that the starts showed. */
        boolean denied() {
            return relation == Relation.UNRESOLVED && evidence != null && evidence.strength() > 0;
        }

        /** The same drift where both trains' bits come from one oscillator: waiting or a loop may feign it. */
        Result deniedByTheWire() {
            Evidence weak = evidence == null ? null : new Evidence(Kind.SCHEDULE, evidence.says() + " But the bits of"
                    + " both last equally long, as from one oscillator, so this is no proof.",
                    Math.min(DENIED_STRENGTH, evidence.strength()), evidence.fromSeconds(), evidence.untilSeconds(),
                    evidence.frames(), false);
            return new Result(Relation.UNRESOLVED, driftPpm, driftErrorPpm, sideBySide, weak);
        }
    }

    static Result compare(MessageView view, Track a, Track b) {
        if (view.meant.isAsked()) return asked(a, b);
        if (!a.cyclic() && !b.cyclic()) return nothing(Relation.EVENTS, 0);
        if (!a.cyclic() || !b.cyclic()) return extras(view, a.cyclic() ? a : b, a.cyclic() ? b : a);
        CombPair pair = pair(view.timing, a, b);
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        double beside = pair == null ? Math.max(0, until - from) : pair.overlapSeconds();
        double slower = Math.max(a.periodSeconds(), b.periodSeconds());
        if (beside < SIDE_BY_SIDE_PERIODS * slower) {
            return nothing(soonOver(view, a, b, beside) ? Relation.UNRESOLVED : Relation.ONE_AFTER_THE_OTHER, beside);
        }
        if (!enoughFrames(view, a, b, from, until)) return nothing(Relation.ONE_COMB, beside);
        if (splinters(view, a, b, pair) || piece(view, a, b) || piece(view, b, a)) return nothing(Relation.PIECES, beside);
        Result result = combs(a, b, pair, beside, unlikeRhythms(a, b) && bringsChanges(view, a, b));
        if (!view.regularity.regular()) return result;
        double travel = pair != null && !Double.isNaN(pair.travelSeconds()) ? pair.travelSeconds()
                : Math.abs(result.driftPpm()) * 1e-6 * beside;
        boolean moved = result.relation() == Relation.DRIFTING
                && Math.abs(travel) >= TRAVEL_JITTERS * Math.max(a.jitterSeconds(), b.jitterSeconds());
        return moved ? result : nothing(Relation.ONE_COMB, beside);
    }

    /** Two combs side by side for most of their time, of which the recording holds too few frames to say more. */
    private static boolean soonOver(MessageView view, Track a, Track b, double beside) {
        double shorter = Math.min(a.untilSeconds() - a.fromSeconds(), b.untilSeconds() - b.fromSeconds());
        double slower = Math.max(a.periodSeconds(), b.periodSeconds());
        return beside >= SHORT_PERIODS * slower && beside >= SHORT_SHARE * shorter && !view.regularity.regular();
    }

    private static Result asked(Track a, Track b) {
        double beside = Math.min(a.untilSeconds(), b.untilSeconds()) - Math.max(a.fromSeconds(), b.fromSeconds());
        return nothing(beside > 0 ? Relation.ASKED : Relation.ONE_AFTER_THE_OTHER, Math.max(0, beside));
    }

    /**
     * Two combs of one period, and beside them about as many frames again as either has: pieces of a message that was
     * not understood (a comb read at a multiple of its period, two mailboxes that wait), whose slopes prove nothing.
     */
    private static boolean splinters(MessageView view, Track a, Track b, CombPair pair) {
        boolean alike = Math.abs(a.periodSeconds() / b.periodSeconds() - 1) < ALIKE;
        if (!alike) return false;
        int rest = 0;
        Set<Integer> thirds = thirds(view, a, b);
        for (int k = 0; k < view.wholeCount; k++) {
            int track = view.findings.trackOf(view.whole[k]);
            if (track == a.index() || track == b.index() || thirds.contains(track)) continue;
            // Where the two meet their frames go to nobody; they are still theirs.
            if (track < 0 && meeting(pair, view.log.startSeconds(view.whole[k]))) continue;
            rest++;
        }
        return rest >= SPLINTER_SHARE * Math.min(a.frames(), b.frames());
    }

    /** Further schedules that are no pieces: each of all keeps a clock of other messages, and no two keep the same. */
    private static Set<Integer> thirds(MessageView view, Track a, Track b) {
        if (view.tracks.size() < 3 || a.group() == b.group()) return Set.of();
        if (!ClockTies.ties(view, a) || !ClockTies.ties(view, b)) return Set.of();
        Set<Integer> groups = new HashSet<>(Set.of(a.group(), b.group()));
        Set<Integer> thirds = new HashSet<>();
        for (Track t : view.tracks) {
            if (t == a || t == b || !t.cyclic() || !ClockTies.ties(view, t)) continue;
            if (!groups.add(t.group())) return Set.of();
            thirds.add(t.index());
        }
        return thirds;
    }

    /**
     * A third comb of the track's period that runs beside it: the two are pieces of one faster comb (its even and odd
     * frames, that wait differently), and the slope of a piece is its waiting's as much as a clock's.
     */
    private static boolean piece(MessageView view, Track track, Track rival) {
        for (Track other : view.tracks) {
            if (other == track || other == rival || !other.cyclic()) continue;
            boolean alike = Math.abs(other.periodSeconds() / track.periodSeconds() - 1) < ALIKE;
            boolean rivalToo = Math.abs(rival.periodSeconds() / track.periodSeconds() - 1) < ALIKE;
            double beside = Math.min(other.untilSeconds(), track.untilSeconds())
                    - Math.max(other.fromSeconds(), track.fromSeconds());
            boolean together = beside >= PIECE_SHARE * (track.untilSeconds() - track.fromSeconds());
            if (alike && !rivalToo && together && other.frames() >= PIECE_SHARE * track.frames()) return true;
        }
        return false;
    }

    private static boolean meeting(CombPair pair, double at) {
        if (pair == null) return false;
        for (CombPair.Crossing c : pair.crossings()) if (at >= c.fromSeconds() && at <= c.untilSeconds()) return true;
        return false;
    }

    /** The census: two senders send more than the faster of them alone. */
    private static boolean enoughFrames(MessageView view, Track a, Track b, double from, double until) {
        if (Math.min(a.frames(), b.frames()) < FEWEST_OF_A_COMB) return false;
        int seen = 0;
        for (int k = 0; k < view.wholeCount; k++) {
            double at = view.log.startSeconds(view.whole[k]);
            if (at >= from && at <= until) seen++;
        }
        double faster = Math.min(a.periodSeconds(), b.periodSeconds());
        double slower = Math.max(a.periodSeconds(), b.periodSeconds());
        return seen - (until - from) / faster >= CENSUS_SHARE * (until - from) / slower;
    }

    private static Result nothing(Relation relation, double beside) {
        return new Result(relation, Double.NaN, Double.NaN, beside, null);
    }

    private static CombPair pair(MessageTiming timing, Track a, Track b) {
        if (timing == null) return null;
        for (CombPair pair : timing.pairs()) {
            if (pair.first() == a.index() && pair.second() == b.index()
                    || pair.first() == b.index() && pair.second() == a.index()) return pair;
        }
        return null;
    }

    private static Result combs(Track a, Track b, CombPair pair, double beside, boolean rhythm) {
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        int frames = a.frames() + b.frames();
        double ratio = simpleRatio(a.periodSeconds() / b.periodSeconds());
        double drift = Double.NaN;
        double error = Double.NaN;
        if (pair != null && !Double.isNaN(pair.driftPpm())) {
            drift = pair.first() == a.index() ? pair.driftPpm() : -pair.driftPpm();
            error = pair.driftPpmError();
        }
        double fitted = 1e6 * Math.hypot(a.periodErrorSeconds() / a.periodSeconds(),
                b.periodErrorSeconds() / b.periodSeconds());
        if (!Double.isNaN(ratio) && !(error <= FITTED_BETTER * fitted)) {
            drift = (b.periodSeconds() / a.periodSeconds() * ratio - 1) * 1e6;
            error = fitted;
        }
        if (Double.isNaN(drift) && rhythm) return rhythm(a, b, beside, from, until, frames);
        if (Double.isNaN(drift)) {
            Evidence evidence = new Evidence(Kind.SCHEDULE, Say.text(
                    "Two schedules run side by side for %.0f s, one every %s (%d frames), one every %s (%d frames); no"
                            + " common timer gives both.", beside, Say.period(a.periodSeconds()), a.frames(),
                    Say.period(b.periodSeconds()), b.frames()), beside >= SURE_PERIODS
                    * Math.max(a.periodSeconds(), b.periodSeconds()) ? Strength.STRONG + 1 : 1, from, until,
                    frames, false);
            return new Result(Relation.DRIFTING, Double.NaN, Double.NaN, beside, evidence);
        }
        error = Math.max(error, LEAST_ERROR_PPM);
        double deviations = Math.abs(drift) / error;
        if (deviations >= DRIFT_DEVIATIONS && rhythm) return rhythm(a, b, beside, from, until, frames);
        if (deviations >= DRIFT_DEVIATIONS) {
            Evidence evidence = new Evidence(Kind.SCHEDULE, Say.text(
                    "Two schedules run side by side for %.0f s (every %s, %d frames, and every %s, %d frames) and"
                            + " drift against each other by %s: %.0f standard errors, %.2f ms over that time."
                                    + " Two timers.",
                    beside, Say.period(a.periodSeconds()), a.frames(), Say.period(b.periodSeconds()),
                    b.frames(), Say.ppm(drift, error), deviations, Math.abs(drift) * 1e-3 * beside),
                    Strength.ofDeviation(deviations), from, until, frames, false);
            return new Result(Relation.DRIFTING, drift, error, beside, evidence);
        }
        boolean inStep = deviations < NO_DRIFT_DEVIATIONS && error <= SURE_PPM;
        String schedules = Say.text("every %s and every %s", Say.period(a.periodSeconds()),
                Say.period(b.periodSeconds()));
        Evidence evidence = Double.isNaN(error) ? null
                : !inStep ? Power.unresolved(schedules, drift, error, beside, from, until, frames)
                : new Evidence(Kind.SCHEDULE, Say.text("Two schedules (%s) do not drift against each other over %.0f s: %s."
                        + " One timer.", schedules, beside, Say.ppm(drift, error)) + Power.inStep(drift, error), -2, from,
                        until, frames, false,
                        Power.figures(drift, error, beside, Power.seconds(beside, error, drift)));
        return new Result(inStep ? Relation.IN_STEP : Relation.UNRESOLVED, drift, error, beside, evidence);
    }

    /** Periods that differ, one of them no round time: a blinking lamp or a turning wheel has a rhythm of its own. */
    private static boolean unlikeRhythms(Track a, Track b) {
        boolean alike = Math.abs(a.periodSeconds() / b.periodSeconds() - 1) < ALIKE;
        return !alike && (Double.isNaN(a.nominalSeconds()) || Double.isNaN(b.nominalSeconds()));
    }

    /** An input's rhythm shows in what its frames carry: each tells something new. */
    private static boolean bringsChanges(MessageView view, Track a, Track b) {
        Track odd = Double.isNaN(a.nominalSeconds()) ? a : b;
        int frames = 0;
        int changes = 0;
        for (int k = 1; k < view.wholeCount; k++) {
            if (view.findings.trackOf(view.whole[k]) != odd.index()) continue;
            frames++;
            if (view.log.dataWord(view.whole[k]) != view.log.dataWord(view.whole[k - 1])) changes++;
        }
        return changes >= NEWS_SHARE * frames;
    }

    private static Result rhythm(Track a, Track b, double beside, double from, double until, int frames) {
        Evidence evidence = new Evidence(Kind.SCHEDULE, Say.text(
                "Frames come every %s and beside them every %s, for %.0f s. The one that is no round time can be the"
                        + " rhythm of an input, sent on each change by the same node.", Say.period(a.periodSeconds()),
                Say.period(b.periodSeconds()), beside), UNLIKE_RHYTHMS, from, until, frames, false);
        return new Result(Relation.COMB_AND_EVENTS, Double.NaN, Double.NaN, beside, evidence);
    }

    /** {@code p/q} with both up to 10 within 0.5 % of the ratio, or NaN. */
    static double simpleRatio(double ratio) {
        for (int q = 1; q <= 10; q++) {
            double p = Math.rint(ratio * q);
            if (p >= 1 && p <= 10 && Math.abs(ratio * q / p - 1) < 0.005) return p / q;
        }
        return Double.NaN;
    }

    /** Frames beside a comb: on the node's own task grid they are its own; off it they are merely extra. */
    private static Result extras(MessageView view, Track comb, Track events) {
        MessageTiming timing = view.timing;
        if (view.regularity.regular()) return nothing(Relation.ONE_COMB, 0);
        if (timing == null) return nothing(Relation.COMB_AND_EVENTS, 0);
        double from = Math.max(comb.fromSeconds(), events.fromSeconds());
        double until = Math.min(comb.untilSeconds(), events.untilSeconds());
        if (until <= from) return nothing(Relation.ONE_AFTER_THE_OTHER, 0);
        if (timing.gridLock() >= LOCKED && timing.gridLog10Chance() <= LOCKED_LOG_CHANCE) {
            Evidence evidence = new Evidence(Kind.SCHEDULE, Say.text(
                    "%d frames beside the schedule of every %s lie on its own task grid of %s (phase concentration %.2f"
                            + " of 1): sent by the same program.", timing.gridEvents(),
                    Say.period(comb.periodSeconds()), Say.period(timing.gridSeconds()), timing.gridLock()),
                    Math.max(-3, timing.gridLog10Chance() / 2), from, until, timing.gridEvents(), false);
            return new Result(Relation.COMB_AND_TASK_EVENTS, Double.NaN, Double.NaN, until - from, evidence);
        }
        int splits = Math.max(timing.splitGaps(), view.regularity.splitGaps());
        if (splits < FEWEST_SPLITS) return nothing(Relation.COMB_AND_EVENTS, until - from);
        double strength = splits < MANY_SPLITS ? 1.0 : Strength.STRONG;
        String grid = Double.isNaN(timing.gridLock()) ? "" : Say.text(
                "; they lie on no task grid of it (phase concentration at most %.2f of 1)", timing.gridLock());
        Evidence evidence = new Evidence(Kind.SCHEDULE, Say.text(
                "%d frames come beside the schedule of every %s, which keeps its time as if they were not there"
                        + " (%d of its gaps are split)%s.", events.frames(), Say.period(comb.periodSeconds()),
                splits, grid), strength, from, until, events.frames(), false);
        return new Result(Relation.COMB_AND_EVENTS, Double.NaN, Double.NaN, until - from, evidence);
    }

    /**
     * Whether the events lie on the teeth of the comb, found too late or lost for a while: then they are
     * part of it.
     */
    static boolean partOf(MessageView view, Track events, Track comb) {
        int near = 0;
        int[] frames = view.framesOf(events);
        for (int frame : frames) {
            double since = view.log.startSeconds(frame) - comb.anchorSeconds();
            double off = since - Math.rint(since / comb.periodSeconds()) * comb.periodSeconds();
            double outside = Math.max(0, Math.max(comb.fromSeconds() - view.log.startSeconds(frame),
                    view.log.startSeconds(frame) - comb.untilSeconds()));
            double slack = 8 * comb.jitterSeconds() + WANDER_PPM * 1e-6 * outside;
            if (Math.abs(off) <= Math.min(slack, 0.1 * comb.periodSeconds())) near++;
        }
        return near >= 0.8 * frames.length;
    }
}
