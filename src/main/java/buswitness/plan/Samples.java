package buswitness.plan;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import java.util.Arrays;

/** The values of one signal in a window, one a whole frame that carries it. */
final class Samples {
    final double[] at;
    final double[] value;
    final int count;
    /** Whole frames of the message in the window, whatever page they carry. */
    final int frames;
    private final double periodSeconds;
    /** Sent when something changes only: a pause says nothing. */
    private final boolean eventsOnly;

    private Samples(double[] at, double[] value, int count, int frames, Reference signal) {
        this.at = at;
        this.value = value;
        this.count = count;
        this.frames = frames;
        this.periodSeconds = signal.message().everySeconds();
        this.eventsOnly = signal.message().onEvent() && Double.isNaN(periodSeconds);
    }

    static Samples of(Findings findings, Reference signal, double from, double until) {
        FrameLog log = findings.frames();
        double[] at = new double[64];
        double[] value = new double[64];
        int n = 0;
        int frames = 0;
        long key = signal.key();
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != key || !log.isWhole(i) || log.isRemote(i)) continue;
            double now = log.startSeconds(i);
            if (now < from || now > until) continue;
            frames++;
            double told = signal.signal().read(log.data(i), log.dataLength(i));
            if (Double.isNaN(told)) continue;
            if (n == at.length) {
                at = Arrays.copyOf(at, n * 2);
                value = Arrays.copyOf(value, n * 2);
            }
            at[n] = now;
            value[n++] = told;
        }
        return new Samples(at, value, n, frames, signal);
    }

    /** The usual time from one sample to the next; the layout's period with fewer than 3 samples. */
    double period() {
        if (count < 3) return periodSeconds;
        double[] gaps = new double[count - 1];
        for (int i = 1; i < count; i++) gaps[i - 1] = at[i] - at[i - 1];
        return buswitness.stats.Robust.median(gaps);
    }

    /** Longest stretch of the window without a sample, ends included. */
    double longestPause(double from, double until) {
        double longest = 0;
        double last = from;
        for (int i = 0; i < count; i++) {
            longest = Math.max(longest, at[i] - last);
            last = at[i];
        }
        return Math.max(longest, until - last);
    }

    /** Why the window cannot vouch for a signal that looked right in every frame, or null. */
    String hole(Findings findings, double from, double until) {
        if (gapIn(findings, from, until)) return "part of this time was not recorded";
        if (eventsOnly) return null;
        double pause = longestPause(from, until);
        double usual = Math.max(period(), Double.isNaN(periodSeconds) ? 0 : periodSeconds);
        // One frame may be late or broken; a driver notices nothing below half a second.
        if (usual > 0 && pause > Math.max(0.5, 5 * usual)) return "for " + Limits.seconds(round(pause)) + " nothing was sent";
        return null;
    }

    static boolean gapIn(Findings findings, double from, double until) {
        for (Gap g : findings.gaps()) {
            if (g.fromPicos() * 1e-12 < until && g.untilPicos() * 1e-12 > from) return true;
        }
        return false;
    }

    static double round(double seconds) {
        return Math.abs(seconds) < 1 ? Math.rint(seconds * 1e4) / 1e4 : Math.rint(seconds * 100) / 100;
    }
}
