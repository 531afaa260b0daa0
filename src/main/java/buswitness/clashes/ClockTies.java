package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Timing.Relation;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Whether two trains of a message that drift against each other each keep the clock of OTHER messages. Drift proves
 * two timers; a delay loop, or a task that waits, is a timer too, but its rate is its own, and no other message has it.
 * Two trains of which one goes with one set of messages and one with another are timed by what times those messages.
 *
 * <p>A frame that always waits behind one other message carries that message's clock and not its own, so a tie counts
 * only for trains, and with messages, that start freely often enough and follow nobody. A loop may send several
 * messages, each at every so many passes, and gives them all its rate: but its pass divides all their periods, and is
 * longer than its delay by the time of its own work. So the slower train is no loop where it lags by less than that in
 * the longest pass that fits it and the messages of its clock. What is left for one node is two timers that know nothing
 * of each other, each with messages of its own (a gateway's clock and the clock of what it forwards are two nodes).
 */
final class ClockTies {
    /** Without payload that returns, the drift must be proven by the trains alone. */
    private static final double OWN_DRIFT = 4;
    private static final double CLOCKS_APART = 6;
    private static final double MOST = 6;
    /** To build a frame and hand it over takes a microcontroller longer (common practice, no source). */
    private static final double SHORTEST_WORK_SECONDS = 5e-6;
    private static final double PERIOD_UNIT_SECONDS = 1e-4;
    private static final double SURE_DEVIATIONS = 6;
    private static final int FEWEST_FRAMES = 15;
    /** Clocks known no better than this agree with too many. */
    private static final double NEAR_PPM = 0.7;
    private static final double AGREE = 3;
    private static final double FREE_SHARE = 0.1;
    private static final double FOLLOWS_SHARE = 0.5;
    /** No clock is known better: they wander by more than this in a minute. */
    private static final double LEAST_ERROR_PPM = 0.2;

    private final MessageView view;
    private final FrameLog log;
    /** Whether a message that several trains send is a partner, too. */
    private final boolean shared;

    private ClockTies(MessageView view, boolean shared) {
        this.shared = shared;
        this.view = view;
        this.log = view.log;
    }

    /** The messages of one clock, this one left out. */
    private record Tie(int messages, double clockPpm, double errorPpm) {}

    /** Null where the trains are not so tied, or do not drift. */
    static Evidence of(MessageView view, Track a, Track b, Timing.Result timing) {
        boolean drift = timing.relation() == Relation.DRIFTING
                || timing.relation() == Relation.UNRESOLVED && !timing.denied()
                && Math.abs(timing.driftPpm()) >= OWN_DRIFT * timing.driftErrorPpm();
        if (!drift || a.group() >= 0 && a.group() == b.group()) return null;
        return new ClockTies(view, true).evidence(a, b, timing.driftPpm());
    }

    /** Whether the track has a clock of its own to show, and other messages, sent by nobody else, keep it. */
    static boolean ties(MessageView view, Track track) {
        if (track.group() < 0 || track.frames() < FEWEST_FRAMES) return false;
        ClockTies ties = new ClockTies(view, false);
        return ties.ownClock(track) && ties.tie(track, null) != null;
    }

    private Evidence evidence(Track a, Track b, double driftPpm) {
        if (Math.min(a.frames(), b.frames()) < FEWEST_FRAMES || !ownClock(a) || !ownClock(b)) return null;
        double work = Math.abs(driftPpm) * 1e-6 * longestPass(driftPpm > 0 ? b : a, driftPpm > 0 ? a : b, driftPpm);
        if (!(work < SHORTEST_WORK_SECONDS)) return null;
        Tie first = tie(a, b);
        Tie second = tie(b, a);
        if (first == null || second == null) return null;
        double apart = Math.abs(first.clockPpm - second.clockPpm);
        double error = Math.hypot(Math.max(LEAST_ERROR_PPM, first.errorPpm),
                Math.max(LEAST_ERROR_PPM, second.errorPpm));
        double deviations = apart / error;
        if (deviations < CLOCKS_APART) return null;
        String says = Say.text("One schedule keeps the clock of %s and the other that of %s; those run %s apart (%.0f"
                + " standard errors). A delay loop that sent them would lag by the time of its work, which is more than"
                + " the %.1f us seen. So one node must have two timers that know nothing of each other, each with"
                + " messages of its own, or there are two nodes.", messages(first), messages(second),
                Say.ppm(apart, error), deviations, work * 1e6);
        double strength = Math.min(MOST, Math.max(Strength.STRONG, Strength.ofDeviation(deviations)));
        return new Evidence(Kind.CLOCKS, says, strength,
                Math.max(a.fromSeconds(), b.fromSeconds()), Math.min(a.untilSeconds(), b.untilSeconds()),
                a.frames() + b.frames(), false, List.of(new Figure("messages_of_first_clock", first.messages),
                new Figure("messages_of_second_clock", second.messages), new Figure("clocks_apart_ppm", apart),
                new Figure("clocks_apart_error_ppm", error), new Figure("loop_work_s", work)));
    }

    private static String messages(Tie tie) {
        return tie.messages == 1 ? "another message" : Say.text("%d other messages", tie.messages);
    }

    /** Other messages with this train's clock; null for none. The sharpest speaks for all. No rival: by group only. */
    private Tie tie(Track track, Track rival) {
        int messages = 0;
        Track sharpest = null;
        for (Track other : view.findings.tracks()) {
            if (!partner(track, rival, other)) continue;
            messages++;
            if (sharpest == null || other.clockPpmError() < sharpest.clockPpmError()) sharpest = other;
        }
        return sharpest == null ? null : new Tie(messages, sharpest.clockPpm(), sharpest.clockPpmError());
    }

    private boolean partner(Track track, Track rival, Track other) {
        return other.key() != view.key && other.cyclic() && sameClock(track, rival, other)
                && other.frames() >= FEWEST_FRAMES && (shared || alone(other)) && ownClock(other);
    }

    /** Seconds: what divides the round periods of a train and of messages that surely have its clock; NaN for none. */
    private double longestPass(Track track, Track rival, double driftPpm) {
        long units = units(track);
        for (Track other : view.findings.tracks()) {
            double error = Math.hypot(track.clockPpmError(), other.clockPpmError());
            boolean sure = SURE_DEVIATIONS * error <= Math.abs(driftPpm);
            if (sure && partner(track, rival, other)) units = divisor(units, units(other));
        }
        return units == 0 ? Double.NaN : units * PERIOD_UNIT_SECONDS;
    }

    private static long units(Track track) {
        return Double.isNaN(track.nominalSeconds()) ? 0 : Math.round(track.nominalSeconds() / PERIOD_UNIT_SECONDS);
    }

    private static long divisor(long a, long b) {
        return b == 0 ? a : divisor(b, a % b);
    }

    /** One clock group; where several lie too near to choose one, the same clock and not the rival's. */
    private static boolean sameClock(Track track, Track rival, Track other) {
        if (Double.isNaN(other.clockPpm()) || Double.isNaN(track.clockPpm())) return false;
        if (track.group() >= 0) return other.group() == track.group();
        double error = Math.hypot(track.clockPpmError(), other.clockPpmError());
        double fromRival = Math.hypot(rival.clockPpmError(), other.clockPpmError());
        return error <= NEAR_PPM && Math.abs(track.clockPpm() - other.clockPpm()) <= AGREE * error
                && Math.abs(rival.clockPpm() - other.clockPpm()) > CLOCKS_APART * fromRival;
    }

    /** The message's other trains, if any, are no combs: two trains may each be anybody's. */
    private boolean alone(Track track) {
        return view.findings.tracks(track.key()).stream()
                .noneMatch(t -> t != track && t.cyclic() && t.frames() >= FEWEST_FRAMES);
    }

    /**
     * Whether enough frames start freely, and those that wait do not wait for one and the same message. It is no help
     * that this message has the train's own clock: a train that follows another node's message is given that clock.
     */
    private boolean ownClock(Track track) {
        int frames = 0;
        int free = 0;
        Map<Long, Integer> behind = new HashMap<>();
        int most = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != track.key() || view.findings.trackOf(i) != track.index()) continue;
            frames++;
            if (log.isFreeStart(i)) free++;
            else if (i > 0) most = Math.max(most, behind.merge(log.key(i - 1), 1, Integer::sum));
        }
        return free >= FREE_SHARE * frames && most <= FOLLOWS_SHARE * frames;
    }
}
