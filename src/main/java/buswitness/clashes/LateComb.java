package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.Arrays;

/**
 * A comb made of frames that were never free: a task that sends two messages in one go keeps the second always waiting for
 * the first. Its frames come as events from the sender findings, yet they are regular; the start behind the first frame is
 * no earlier than the release, and the release no earlier than the moment the bus became busy. A frame that waits for
 * ANOTHER node's frames shows that node's drift; so the whole wait counts as error of the fitted period.
 */
final class LateComb {
    private static final int FEWEST = 20;
    private static final double STEADY_SHARE = 0.03;
    private static final double PRESENT_SHARE = 0.8;
    private static final int BLOCKS = 10;
    private static final double FREE_BITS = 13;
    /** Drift counts from 6 standard errors on: then the combs have moved by twice the longest wait. */
    private static final double WAITS_PER_ERROR = 3;
    private static final double ROUND = 0.005;

    private LateComb() {}

    /** The track as a comb, or the track itself where its frames make none. */
    static Track read(MessageView view, Track events, double bitSeconds) {
        if (Double.isNaN(bitSeconds)) return events;
        if (events.cyclic() || events.frames() < FEWEST) return events;
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
        return even < 0.9 * (n - 1) ? events : fit(events, at, tooth, wait(view.log, frames, bitSeconds));
    }

    /** How long, at the 95th of 100, the bus had been busy without a break when these frames started. */
    private static double wait(FrameLog log, int[] frames, double bitSeconds) {
        double[] waits = new double[frames.length];
        for (int i = 0; i < frames.length; i++) {
            int first = frames[i];
            while (first > 0 && (log.startPicos(first) - log.endPicos(first - 1)) * 1e-12 < FREE_BITS * bitSeconds) first--;
            waits[i] = log.startSeconds(frames[i]) - log.startSeconds(first);
        }
        Arrays.sort(waits);
        return waits[(int) (0.95 * (waits.length - 1))];
    }

    private static Track fit(Track events, double[] at, double[] tooth, double wait) {
        int n = at.length;
        double meanAt = Arrays.stream(at).average().orElseThrow();
        double meanTooth = Arrays.stream(tooth).average().orElseThrow();
        double xx = 0;
        double xy = 0;
        for (int i = 0; i < n; i++) {
            xx += (tooth[i] - meanTooth) * (tooth[i] - meanTooth);
            xy += (tooth[i] - meanTooth) * (at[i] - meanAt);
        }
        double period = xy / xx;
        double squares = 0;
        double[] block = new double[BLOCKS];
        int[] inBlock = new int[BLOCKS];
        for (int i = 0; i < n; i++) {
            double rest = at[i] - meanAt - period * (tooth[i] - meanTooth);
            squares += rest * rest;
            block[(int) ((long) i * BLOCKS / n)] += rest;
            inBlock[(int) ((long) i * BLOCKS / n)]++;
        }
        double between = 0;
        for (int k = 0; k < BLOCKS; k++) between += Math.pow(block[k] / inBlock[k], 2) / (BLOCKS - 2);
        // Slope of BLOCKS evenly spaced means, each with the scatter found between them.
        double error = (Math.sqrt(12.0 / BLOCKS * between) + wait / WAITS_PER_ERROR) / (tooth[n - 1] - tooth[0]);
        double jitter = Math.sqrt(squares / (n - 2));
        return new Track(events.index(), events.key(), true, period, error, nominal(period),
                meanAt - period * meanTooth, jitter, events.frames(), 0, events.fromSeconds(), events.untilSeconds(), 0,
                events.group());
    }

    /** The nearest period of two significant digits within half a per cent, or NaN. */
    private static double nominal(double period) {
        double unit = Math.pow(10, Math.floor(Math.log10(period)) - 1);
        double round = Math.rint(period / unit) * unit;
        return Math.abs(period / round - 1) <= ROUND ? round : Double.NaN;
    }
}
