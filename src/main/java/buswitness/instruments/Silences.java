package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.schema.Message;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Stretches in which an expected message stayed away although the recorder watched, and why it did. */
final class Silences {
    /** A late frame or two is ordinary; a longer pause is a silence. */
    private static final double LEAST_PERIODS = 2.5;
    /** A shorter pause counts where its node was away as a whole meanwhile. */
    private static final double LEAST_PERIODS_AWAY = 1.4;
    /** Off the old grid by more than this share of the period: the timer began anew. */
    private static final double NEW_PHASE_SHARE = 0.05;
    private static final double SLEEP_SECONDS = 1;
    /** A documented period that the recording contradicts by more than this is not used. */
    private static final double MOST_SLOWER = 1.5;
    /** Damage this close to a silence belongs to it. */
    private static final double AROUND_SECONDS = 0.05;

    /**
     * @param untilSeconds next arrival, or the end of what was watched
     * @param resumed      whether the message came back within the recording
     * @param damagedOwn   damaged frames of this message within
     * @param cause        why; {@code MISSING_FRAMES} where nothing but the silence is seen
     */
    record Silence(double fromSeconds, double untilSeconds, boolean resumed, int damagedOwn, Cause cause) {
        double seconds() {
            return untilSeconds - fromSeconds;
        }
    }

    /** The message's period, NaN where it has none. */
    final double periodSeconds;
    final List<Silence> list = new ArrayList<>();
    private final List<double[]> sleeps = new ArrayList<>();

    Silences(SignalSeries series, Message message, FrameLog log, ClashFindings clashes, NodeAway node,
             double endSeconds, double[] gapStarts) {
        periodSeconds = period(series, message);
        if (Double.isNaN(periodSeconds)) return;
        double usual = Double.NaN;
        for (int i = 0; i < series.arrivals; i++) {
            double from = series.arrivalAt[i];
            boolean last = i + 1 == series.arrivals;
            double until = last ? endSeconds : series.arrivalAt[i + 1];
            boolean resumed = !last;
            for (double gap : gapStarts) {
                if (gap >= from && gap < until) {
                    until = gap;
                    resumed = false;
                }
            }
            double periods = (until - from) / periodSeconds;
            if (!(periods > LEAST_PERIODS)) {
                if (periods > LEAST_PERIODS_AWAY && resumed) brief(from, until, series, clashes, node);
                continue;
            }
            if (Double.isNaN(usual)) usual = usualSpacing(log, series.key);
            if (busAsleep(log, from, until, usual)) sleeps.add(new double[] {from, until});
            else list.add(silence(from, until, resumed, series, log, clashes, node));
        }
    }

    /** A slow message hardly misses a turn while its node restarts; the node's faster ones tell. */
    private void brief(double from, double until, SignalSeries series, ClashFindings clashes, NodeAway node) {
        MessageFinding finding = clashes.message(series.key);
        if (finding == null || finding.verdict() != Verdict.ONE_SENDER) return;
        if (newPhase(from, until) && node.between(from, until)) {
            list.add(new Silence(from, until, true, series.damagedBetween(from, until), Cause.RESTARTS));
        }
    }

    private Silence silence(double from, double until, boolean resumed, SignalSeries series, FrameLog log,
                            ClashFindings clashes, NodeAway node) {
        int own = series.damagedBetween(from, until);
        MessageFinding finding = clashes.message(series.key);
        Verdict verdict = finding == null ? Verdict.UNDECIDED : finding.verdict();
        Cause cause;
        if (own > 0 && verdict == Verdict.TWO_SENDERS && collided(clashes, series.key, from, until)) {
            cause = Cause.DAMAGED_BY_TWO_SENDERS;
        } else if (othersDamaged(log, series.key, from, until) >= 2) {
            cause = Cause.DISTURBANCE;
        } else if (own > 0) {
            cause = Cause.UNDECIDED;
        } else if (verdict != Verdict.TWO_SENDERS && resumed
                && restarted(from, until, finding, series, log, clashes, node)) {
            cause = Cause.RESTARTS;
        } else {
            cause = Cause.MISSING_FRAMES;
        }
        return new Silence(from, until, resumed, own, cause);
    }

    private static boolean collided(ClashFindings clashes, long key, double from, double until) {
        for (Collision c : clashes.collisions()) {
            if (c.key() == key && c.untilSeconds() >= from && c.atSeconds() <= until) return true;
        }
        return false;
    }

    /** How many other messages (unreadable ones count as one) had damaged frames at that time. */
    private static int othersDamaged(FrameLog log, long key, double from, double until) {
        Set<Long> others = new HashSet<>();
        for (int i = firstAt(log, from - AROUND_SECONDS); i < log.size(); i++) {
            if (log.startSeconds(i) > until + AROUND_SECONDS) break;
            FrameFault fault = log.fault(i);
            if (!fault.isDamage()) continue;
            if (log.key(i) != key) others.add(log.key(i));
        }
        return others.size();
    }

    /** The node was away as a whole and its timers began anew; with one message only, the new phase must tell. */
    private boolean restarted(double from, double until, MessageFinding finding, SignalSeries series, FrameLog log,
                              ClashFindings clashes, NodeAway node) {
        if (!newPhase(from, until) || finding == null) return false;
        if (node.between(from, until)) return true;
        if (finding.senders().isEmpty()) return false;
        List<Long> keys = clashes.senders().get(finding.senders().get(0)).keys();
        for (int i = firstAt(log, from + periodSeconds / 2); i < log.size(); i++) {
            if (log.startSeconds(i) > until - periodSeconds / 2) break;
            if (log.key(i) != series.key && log.isWhole(i) && keys.contains(log.key(i))) return false;
        }
        return true;
    }

    private boolean newPhase(double from, double until) {
        double periods = (until - from) / periodSeconds;
        return Math.abs(periods - Math.rint(periods)) > NEW_PHASE_SHARE;
    }

    /**
     * Where nobody sends anything for much longer than is usual on this bus, for most of the silence: the bus rests,
     * which is nobody's fault. A message that is alone on its bus cannot be told from that.
     */
    private static boolean busAsleep(FrameLog log, double from, double until, double usualSeconds) {
        double free = 0;
        double before = from;
        for (int i = firstAt(log, from); i < log.size() && log.startSeconds(i) < until; i++) {
            free = Math.max(free, log.startSeconds(i) - before);
            before = log.startSeconds(i);
        }
        free = Math.max(free, until - before);
        return free >= Math.max(SLEEP_SECONDS, 10 * usualSeconds) && free >= (until - from) / 2;
    }

    /** Nearly the longest spacing of frames on the whole bus; infinite where there is only this message. */
    private static double usualSpacing(FrameLog log, long key) {
        double[] spacings = new double[Math.max(0, log.size() - 1)];
        boolean others = false;
        for (int i = 0; i < log.size(); i++) {
            others |= log.key(i) != key;
            if (i > 0) spacings[i - 1] = log.startSeconds(i) - log.startSeconds(i - 1);
        }
        return others && spacings.length > 0 ? Robust.quantile(spacings, 0.99) : Double.POSITIVE_INFINITY;
    }

    /** Whether the bus rests at this time. */
    boolean asleepAt(double seconds) {
        for (double[] sleep : sleeps) if (seconds >= sleep[0] && seconds <= sleep[1]) return true;
        return false;
    }

    /** First frame that starts at or after {@code seconds}. */
    static int firstAt(FrameLog log, double seconds) {
        int low = 0;
        int high = log.size();
        while (low < high) {
            int middle = low + high >>> 1;
            if (log.startSeconds(middle) < seconds) low = middle + 1;
            else high = middle;
        }
        return low;
    }

    /** Documented, or the usual spacing where that is regular enough to be called a period. */
    private static double period(SignalSeries series, Message message) {
        double documented = message.everySeconds();
        if (series.arrivals < 5) return documented;
        double[] spacings = new double[series.arrivals - 1];
        for (int i = 1; i < series.arrivals; i++) spacings[i - 1] = series.arrivalAt[i] - series.arrivalAt[i - 1];
        double middle = Robust.median(spacings);
        if (middle <= MOST_SLOWER * documented) return documented;
        if (Double.isNaN(documented) && message.onEvent()) return Double.NaN;
        // Between two interleaved combs spacings vary up to one period; events vary without bound.
        double high = Robust.quantile(spacings, 0.9);
        return high <= LEAST_PERIODS * middle ? high : Double.NaN;
    }

    /** Whether {@code seconds} lies within {@code window} after a silence of this cause. */
    boolean follows(Cause cause, double seconds, double window) {
        for (Silence s : list) {
            if (s.cause() == cause && seconds >= s.untilSeconds() && seconds <= s.untilSeconds() + window) return true;
        }
        return false;
    }

    /** The cause of the longest time of silence in these, {@code NONE} for an empty list. */
    static Cause mainCause(List<Silence> silences) {
        double[] seconds = new double[Cause.values().length];
        for (Silence s : silences) seconds[s.cause().ordinal()] += s.seconds();
        Cause best = Cause.NONE;
        for (Cause c : Cause.values()) if (seconds[c.ordinal()] > seconds[best.ordinal()]) best = c;
        return best;
    }
}
