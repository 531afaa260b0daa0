package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.Arrays;

/**
 * A comb made of frames that were never free: a task that sends two messages in one go keeps the second always
 * waiting for
 * the first. Its frames come as events from the sender findings, yet they are regular. Each release lies between the
 * moment
 * the bus became busy and the frame's start; a comb must pass through all these windows, which bounds its period from
 * both
 * sides. A frame that waits for ANOTHER node's frames follows that node for as long as the windows let it, so that
 * only a
 * drift beyond the bounds is believed.
 */
final class LateComb {
    private static final int FEWEST = 20;
    private static final double STEADY_SHARE = 0.03;
    private static final double PRESENT_SHARE = 0.8;
    /** Idle bits after which nothing can have held a sender back: see {@link HeadOn} on retries of a passive node. */
    private static final double FREE_BITS = HeadOn.RETRY_IDLE_BITS;
    /** Software delay and wander within which a release may leave its comb. */
    private static final double LEAST_SLACK = 100e-6;
    private static final int MOST_COMPARED = 1000;
    /** Drift counts from 6 standard errors on, which lies beyond the bounds. */
    private static final double BOUNDS_IN_ERRORS = 5;
    private static final double ROUND = 0.005;
    private static final double FREE_SHARE = 0.1;

    private LateComb() {}

    /** The track as a comb, or the track itself where its frames make none or it was fitted better without. */
    static Track read(MessageView view, Track events, double bitSeconds) {
        if (Double.isNaN(bitSeconds)) return events;
        if (events.frames() < FEWEST) return events;
        int[] frames = view.framesOf(events);
        int n = frames.length;
        if (n < FEWEST) return events;
        double[] at = new double[n];
        for (int i = 0; i < n; i++) at[i] = view.log.startSeconds(frames[i]);
        double[] gaps = new double[n - 1];
        for (int i = 0; i + 1 < n; i++) gaps[i] = at[i + 1] - at[i];
        double[] sorted = gaps.clone();
        Arrays.sort(sorted);
        double gap = sorted[sorted.length / 2];
        if (gap <= 0 || n < PRESENT_SHARE * (at[n - 1] - at[0]) / gap) return events;
        double[] tooth = new double[n];
        int even = 0;
        for (int i = 1; i < n; i++) {
            double teeth = Math.rint(gaps[i - 1] / gap);
            if (teeth >= 1 && Math.abs(gaps[i - 1] - teeth * gap) <= STEADY_SHARE * gap) even++;
            tooth[i] = tooth[i - 1] + Math.max(1, teeth);
        }
        if (even < 0.9 * (n - 1)) return events;
        Track fitted = fit(events, busySince(view.log, frames, bitSeconds), at, tooth);
        if (fitted == null || !events.cyclic()) return fitted == null ? events : fitted;
        if (events.periodErrorSeconds() > fitted.periodErrorSeconds()) return fitted;
        // Not one in ten started freely: however sharp, the period may be that of what the frames wait for.
        return events.freeStarts() >= FREE_SHARE * n ? events : asSharpAs(fitted, events);
    }

    private static Track asSharpAs(Track windows, Track t) {
        return new Track(t.index(), t.key(), true, t.periodSeconds(), windows.periodErrorSeconds(), t.nominalSeconds(),
                t.anchorSeconds(), t.jitterSeconds(), t.frames(), t.freeStarts(), t.fromSeconds(), t.untilSeconds(),
                t.restarts(), t.group());
    }

    /** When the bus had become busy, without a break until these frames started. */
    private static double[] busySince(FrameLog log, int[] frames, double bitSeconds) {
        double[] since = new double[frames.length];
        for (int i = 0; i < frames.length; i++) {
            int first = frames[i];
            double idle = FREE_BITS * bitSeconds;
            while (first > 0 && (log.startPicos(first) - log.endPicos(first - 1)) * 1e-12 < idle) first--;
            since[i] = log.startSeconds(first);
        }
        return since;
    }

    /** Null where no comb passes through all windows. */
    private static Track fit(Track events, double[] since, double[] at, double[] tooth) {
        int n = at.length;
        double wait = 0;
        for (int i = 0; i < n; i++) wait += (at[i] - since[i]) / n;
        double slack = LEAST_SLACK + 0.1 * wait;
        double longest = Double.POSITIVE_INFINITY;
        double shortest = 0;
        int step = Math.max(1, n / MOST_COMPARED);
        for (int i = 0; i < n; i += step) {
            for (int j = i + step; j < n; j += step) {
                double teeth = tooth[j] - tooth[i];
                longest = Math.min(longest, (at[j] + slack - since[i]) / teeth);
                shortest = Math.max(shortest, (since[j] - slack - at[i]) / teeth);
            }
        }
        if (shortest > longest) return null;
        double period = (shortest + longest) / 2;
        double anchor = 0;
        for (int i = 0; i < n; i++) anchor += (at[i] - period * tooth[i]) / n;
        double squares = 0;
        for (int i = 0; i < n; i++) squares += Math.pow(at[i] - period * tooth[i] - anchor, 2);
        return new Track(events.index(), events.key(), true, period, (longest - shortest) / 2 / BOUNDS_IN_ERRORS,
                nominal(period), anchor, Math.sqrt(squares / (n - 2)), events.frames(), 0, events.fromSeconds(),
                events.untilSeconds(), events.restarts(), events.group());
    }

    /** The nearest period of two significant digits within half a per cent, or NaN. */
    private static double nominal(double period) {
        double unit = Math.pow(10, Math.floor(Math.log10(period)) - 1);
        double round = Math.rint(period / unit) * unit;
        return Math.abs(period / round - 1) <= ROUND ? round : Double.NaN;
    }
}
