package buswitness.clashes;

import buswitness.frames.FrameLevels;
import buswitness.frames.FrameLog;
import java.util.Arrays;

/**
 * How far the line stepped to dominant in the frames of a train, in time order, for comparison with another train at the
 * same times: what moves all levels alike, such as the supply, drops out.
 */
final class LevelSeries {
    static final int FEWEST = 8;
    private static final int BLOCKS = 10;
    private static final int FEWEST_OF_A_BLOCK = 3;

    final int[] frame;
    final double[] at;
    final double[] swing;
    final int count;

    private LevelSeries(int[] frame, double[] at, double[] swing, int count) {
        this.frame = frame;
        this.at = at;
        this.swing = swing;
        this.count = count;
    }

    /** @param frames of the log, in time order; those whose level was not seen are left out */
    static LevelSeries of(FrameLog log, int[] frames) {
        FrameLevels levels = log.levels();
        int[] kept = new int[frames.length];
        double[] at = new double[frames.length];
        double[] swing = new double[frames.length];
        int n = 0;
        for (int f : frames) {
            if (Float.isNaN(levels.swing(f))) continue;
            kept[n] = f;
            at[n] = log.startSeconds(f);
            swing[n++] = levels.swing(f);
        }
        return new LevelSeries(kept, at, swing, n);
    }

    /** Values of this series' own kind at other instants. */
    static LevelSeries of(double[] at, double[] values, int count) {
        return new LevelSeries(new int[0], at, values, count);
    }

    /**
     * Mean of this series minus the other at the same times.
     *
     * @param error one standard error, from the scatter and from how the mean wanders between tenths of the time
     * @param early the same over the first half, {@code late} over the second; NaN where too few
     * @param told  share of the frames of both that lie nearer to their own train, 0 to 1
     */
    record Apart(double mean, double error, int frames, double early, double earlyError, double late, double lateError,
                 double told) {}

    /** Null where too few frames of one lie between frames of the other. */
    Apart from(LevelSeries other) {
        double[] forward = differences(other);
        double[] back = other.differences(this);
        boolean useBack = back.length > forward.length;
        double[] d = useBack ? back : forward;
        if (Math.min(forward.length, back.length) < FEWEST) return null;
        double sign = useBack ? -1 : 1;
        double mean = mean(d, 0, d.length);
        double error = error(d, 0, d.length);
        int half = d.length / 2;
        boolean halves = half >= FEWEST / 2;
        int told = 0;
        for (double x : d) if (Math.abs(x - mean) < Math.abs(x)) told++;
        double[] rest = useBack ? forward : back;
        for (double x : rest) if (Math.abs(x + mean) < Math.abs(x)) told++;
        return new Apart(sign * mean, error, forward.length + back.length, halves ? sign * mean(d, 0, half) : Double.NaN,
                halves ? error(d, 0, half) : Double.NaN, halves ? sign * mean(d, half, d.length) : Double.NaN,
                halves ? error(d, half, d.length) : Double.NaN, (double) told / (forward.length + back.length));
    }

    /** Each value minus the other series at its time, straight between the two values around it. */
    private double[] differences(LevelSeries other) {
        double[] d = new double[count];
        int n = 0;
        int k = 0;
        for (int i = 0; i < count; i++) {
            while (k + 1 < other.count && other.at[k + 1] <= at[i]) k++;
            if (k + 1 >= other.count || other.at[k] > at[i]) continue;
            double part = (at[i] - other.at[k]) / (other.at[k + 1] - other.at[k]);
            d[n++] = swing[i] - other.swing[k] - part * (other.swing[k + 1] - other.swing[k]);
        }
        return Arrays.copyOf(d, n);
    }

    private static double mean(double[] d, int from, int until) {
        double sum = 0;
        for (int i = from; i < until; i++) sum += d[i];
        return sum / (until - from);
    }

    private static double error(double[] d, int from, int until) {
        double single = scatter(d, from, until) / Math.sqrt(until - from);
        int blocks = Math.min(BLOCKS, (until - from) / FEWEST_OF_A_BLOCK);
        if (blocks < 4) return single;
        double[] means = new double[blocks];
        for (int b = 0; b < blocks; b++) {
            means[b] = mean(d, from + (int) ((long) b * (until - from) / blocks),
                    from + (int) ((b + 1L) * (until - from) / blocks));
        }
        return Math.max(single, scatter(means, 0, blocks) / Math.sqrt(blocks));
    }

    private static double scatter(double[] d, int from, int until) {
        double mean = mean(d, from, until);
        double squares = 0;
        for (int i = from; i < until; i++) squares += (d[i] - mean) * (d[i] - mean);
        return Math.sqrt(squares / (until - from - 1));
    }

    double mean() {
        return mean(swing, 0, count);
    }

    double meanError() {
        return error(swing, 0, count);
    }
}
