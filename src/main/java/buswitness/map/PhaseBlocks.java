package buswitness.map;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import buswitness.stats.LineFit;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * How far a schedule has moved against its round period, block by block of the recording. The difference of two shows only
 * what their oscillators do not share: the recorder's own wander cancels.
 */
final class PhaseBlocks {
    private static final int BLOCKS = 16;
    private static final int FEWEST_IN_BLOCK = 2;
    private static final int FEWEST_BLOCKS = 5;
    private static final double FREE_ENOUGH = 0.3;
    private static final double FLOOR_PPM = 0.15;
    /** A mean phase may move by this share of the jitter for reasons other than its clock. */
    private static final double PLACE = 0.2;
    private static final double PLACE_QUEUED = 0.7;

    private final Track track;
    private final boolean free;
    private final double[] at = new double[BLOCKS];
    private final double[] mean = new double[BLOCKS];
    private final double[] error = new double[BLOCKS];
    private final double jitter;

    /** Drift of one clock against another, parts per million, and its standard error; NaN where not to be told. */
    record Apart(double ppm, double error) {}

    private PhaseBlocks(Track track, boolean free, double jitter) {
        this.track = track;
        this.free = free;
        this.jitter = jitter;
    }

    /** Null where the track has no clock to compare. */
    static PhaseBlocks of(Findings findings, Track track, int[] frames) {
        if (!track.cyclic() || Double.isNaN(track.nominalSeconds())) return null;
        FrameLog log = findings.frames();
        int[] own = Arrays.stream(frames).filter(f -> findings.senders().trackOf(f) == track.index()).toArray();
        int[] freeOnes = Arrays.stream(own).filter(log::isFreeStart).toArray();
        boolean free = freeOnes.length >= Math.max(8, FREE_ENOUGH * own.length);
        int[] used = free ? freeOnes : own;
        if (used.length < 4) return null;
        double seconds = Math.max(1e-9, findings.bus().durationPicos() * 1e-12);
        double[] dev = new double[used.length];
        for (int i = 0; i < used.length; i++) {
            double x = (log.startSeconds(used[i]) - track.anchorSeconds()) / track.periodSeconds();
            dev[i] = (x - Math.rint(x)) * track.periodSeconds();
        }
        double[] steps = new double[used.length - 1];
        for (int i = 1; i < used.length; i++) steps[i - 1] = dev[i] - dev[i - 1];
        double jitter = Math.max(1e-7, Robust.spread(steps, steps.length, 0) / Math.sqrt(2));
        PhaseBlocks blocks = new PhaseBlocks(track, free, jitter);
        int from = 0;
        for (int b = 0; b < BLOCKS; b++) {
            int until = from;
            while (until < used.length && log.startSeconds(used[until]) < seconds * (b + 1) / BLOCKS) until++;
            blocks.fill(b, log, used, dev, from, until);
            from = until;
        }
        return blocks;
    }

    private void fill(int b, FrameLog log, int[] used, double[] dev, int from, int until) {
        double[] d = Arrays.copyOfRange(dev, from, until);
        mean[b] = Double.NaN;
        if (d.length < FEWEST_IN_BLOCK) return;
        double middle = Robust.median(d);
        double sum = 0;
        double when = 0;
        int n = 0;
        for (int i = from; i < until; i++) {
            if (Math.abs(dev[i] - middle) > 5 * jitter + 2e-6) continue;
            sum += dev[i];
            when += log.startSeconds(used[i]);
            n++;
        }
        if (n < FEWEST_IN_BLOCK) return;
        at[b] = when / n;
        mean[b] = sum / n;
        error[b] = jitter / Math.sqrt(n) + 2e-8;
    }

    Apart against(PhaseBlocks other) {
        double[] x = new double[BLOCKS];
        double[] y = new double[BLOCKS];
        double[] w = new double[BLOCKS];
        int n = 0;
        double weights = 0;
        for (int b = 0; b < BLOCKS; b++) {
            if (Double.isNaN(mean[b]) || Double.isNaN(other.mean[b])) continue;
            x[n] = (at[b] + other.at[b]) / 2;
            y[n] = mean[b] - other.mean[b];
            double e = error[b] * error[b] + other.error[b] * other.error[b];
            w[n] = 1 / e;
            weights += w[n++];
        }
        double lines = track.clockPpm() - other.track.clockPpm();
        boolean jumps = track.restarts() > 0 || other.track.restarts() > 0;
        if (n < FEWEST_BLOCKS || jumps) {
            double e = Math.hypot(track.clockPpmError(), other.track.clockPpmError());
            return new Apart(lines, Math.hypot(e, FLOOR_PPM));
        }
        LineFit fit = LineFit.weighted(x, y, w, n);
        double squares = 0;
        for (int b = 0; b < n; b++) squares += w[b] * (x[b] - fit.centre()) * (x[b] - fit.centre());
        double span = x[n - 1] - x[0];
        double place = Math.hypot((free ? PLACE : PLACE_QUEUED) * jitter, (other.free ? PLACE : PLACE_QUEUED) * other.jitter) / span;
        double formal = Math.sqrt(1 / squares);
        double e = Math.max(formal, fit.slopeError());
        return new Apart(lines + fit.slope() * 1e6, Math.sqrt((e * e + place * place) * 1e12 + FLOOR_PPM * FLOOR_PPM));
    }
}
