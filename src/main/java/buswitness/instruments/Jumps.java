package buswitness.instruments;

import buswitness.schema.Gauge;
import buswitness.schema.Lamp;
import buswitness.schema.Signal;
import buswitness.stats.Robust;
import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;

/**
 * Steps between neighbouring samples that the true quantity cannot have made, and the turns among them.
 *
 * <p>Needle: a step is a jump where it exceeds rate x elapsed time + allowance and moves the needle's target by
 * {@value #VISIBLE_SHARE} of its travel or more. The allowance covers quantisation and noise: {@value #LEAST_COUNTS}
 * counts, or {@value #NOISE_FACTOR} times the 90 % quantile of how far a sample lies from the nearest of the
 * {@value #LOOK_BACK} before it from the same sender (two levels in turn leave this small, noise does not). Where no
 * rate is documented a jump must besides stand alone: its neighbours must not move on in the same direction, as a fast
 * but steady movement does. A reversal is a jump against the direction of the jump before it.
 *
 * <p>Lamp: every change between lit and dark is a jump and a reversal.
 */
final class Jumps {
    /** Share of travel that a driver notices; common practice, no source. */
    static final double VISIBLE_SHARE = 0.02;
    static final double LEAST_COUNTS = 2.5;
    static final double NOISE_FACTOR = 7;
    static final int LOOK_BACK = 8;
    /** With a documented rate, noise beyond this share of the scale is no excuse. */
    private static final double MOST_ALLOWED_SHARE = 0.1;
    /** With a documented rate, jumps of this share of the scale are no noise. */
    private static final double LARGE_SHARE = 0.25;
    private static final double VALLEY_FROM = 0.3;
    private static final double VALLEY_UNTIL = 0.7;
    /** Steps in the valley, for each jump. */
    private static final double MOST_BETWEEN = 0.5;
    /** Undocumented rate: neighbours' movement in the same direction, as a share of the jump. */
    private static final double ALONE_SHARE = 0.25;

    /** Sample index at which each jump lands, ascending. */
    final int[] at;
    /** Whether each jump turns back on the one before. */
    final boolean[] reverses;
    final int reversals;
    /** In the signal's unit. */
    final double allowance;
    /** Documented rate in units a second, 0 where none is documented. */
    final double ratePerSecond;

    /**
     * Needle: whether the jumps are a class of their own, with few steps about half as large. Noise has many steps a
     * bit smaller than its largest; two levels in turn have none. True for lamps, and for jumps across a good part of
     * the scale against a documented rate.
     */
    final boolean standApart;

    private Jumps(int[] at, boolean[] reverses, double allowance, double ratePerSecond, boolean standApart) {
        this.standApart = standApart;
        this.at = at;
        this.reverses = reverses;
        this.allowance = allowance;
        this.ratePerSecond = ratePerSecond;
        int count = 0;
        for (boolean r : reverses) if (r) count++;
        reversals = count;
    }

    boolean rateKnown() {
        return ratePerSecond > 0;
    }

    /** Sample indexes of the reversals, ascending. */
    int[] reversalsAt() {
        int[] out = new int[reversals];
        int n = 0;
        for (int j = 0; j < at.length; j++) if (reverses[j]) out[n++] = at[j];
        return out;
    }

    static Jumps of(Lamp lamp, SignalSeries series) {
        int[] at = new int[series.samples];
        int count = 0;
        for (int k = 1; k < series.samples; k++) {
            if (!series.fresh[k] && lamp.isLit(series.value[k]) != lamp.isLit(series.value[k - 1])) at[count++] = k;
        }
        boolean[] all = new boolean[count];
        Arrays.fill(all, true);
        return new Jumps(Arrays.copyOf(at, count), all, 0, 0, true);
    }

    static Jumps of(Gauge gauge, SignalSeries series) {
        Signal signal = gauge.signal();
        double rate = Double.isNaN(signal.changesAtMostPerSecond()) ? 0 : signal.changesAtMostPerSecond();
        double allowance = Math.max(LEAST_COUNTS * Math.abs(signal.factor()), NOISE_FACTOR * noise(series));
        if (rate > 0) {
            double scale = gauge.values()[gauge.values().length - 1] - gauge.values()[0];
            allowance = Math.min(allowance,
                    Math.max(LEAST_COUNTS * Math.abs(signal.factor()), MOST_ALLOWED_SHARE * scale));
        }
        int[] at = new int[series.samples];
        boolean[] reverses = new boolean[series.samples];
        int count = 0;
        int lastWay = 0;
        for (int k = 1; k < series.samples; k++) {
            if (series.fresh[k]) {
                lastWay = 0;
                continue;
            }
            if (!isJump(gauge, series, k, rate, allowance)) continue;
            int way = series.value[k] > series.value[k - 1] ? 1 : -1;
            reverses[count] = lastWay == -way;
            at[count++] = k;
            lastWay = way;
        }
        int[] landed = Arrays.copyOf(at, count);
        return new Jumps(landed, Arrays.copyOf(reverses, count), allowance, rate,
                standApart(gauge, series, landed, rate));
    }

    private static boolean standApart(Gauge gauge, SignalSeries series, int[] jumps, double rate) {
        if (jumps.length == 0) return false;
        double[] sizes = new double[jumps.length];
        for (int j = 0; j < jumps.length; j++) sizes[j] = Math.abs(series.value[jumps[j]] - series.value[jumps[j] - 1]);
        double size = Robust.median(sizes);
        double scale = gauge.values()[gauge.values().length - 1] - gauge.values()[0];
        if (rate > 0 && size >= LARGE_SHARE * scale) return true;
        int between = 0;
        for (int k = 1; k < series.samples; k++) {
            double step = Math.abs(series.value[k] - series.value[k - 1]);
            if (!series.fresh[k] && step >= VALLEY_FROM * size && step <= VALLEY_UNTIL * size) between++;
        }
        return between <= MOST_BETWEEN * jumps.length;
    }

    private static boolean isJump(Gauge gauge, SignalSeries series, int k, double rate, double allowance) {
        double[] v = series.value;
        double step = v[k] - v[k - 1];
        if (Math.abs(step) <= rate * (series.at[k] - series.at[k - 1]) + allowance) return false;
        if (Math.abs(gauge.shareOf(v[k]) - gauge.shareOf(v[k - 1])) < VISIBLE_SHARE) return false;
        if (rate > 0) return true;
        double along = 0;
        double way = Math.signum(step);
        // A movement from one sender's value to another's is no movement of the quantity.
        if (k >= 2 && !series.fresh[k - 1] && series.sender[k - 1] == series.sender[k - 2]) {
            along += Math.max(0, way * (v[k - 1] - v[k - 2]));
        }
        if (k + 1 < series.samples && !series.fresh[k + 1] && series.sender[k + 1] == series.sender[k]) {
            along += Math.max(0, way * (v[k + 1] - v[k]));
        }
        return along <= ALONE_SHARE * Math.abs(step);
    }

    /** The 90 % quantile of the distance to the nearest of the earlier samples of the same sender. */
    private static double noise(SignalSeries series) {
        Map<Integer, int[]> recent = new HashMap<>();
        double[] nearest = new double[series.samples];
        int count = 0;
        for (int k = 0; k < series.samples; k++) {
            int[] ring = recent.computeIfAbsent(series.sender[k], s -> newRing());
            double least = Double.POSITIVE_INFINITY;
            for (int i = 0; i < LOOK_BACK; i++) {
                if (ring[i] < 0) continue;
                least = Math.min(least, Math.abs(series.value[k] - series.value[ring[i]]));
            }
            if (least < Double.POSITIVE_INFINITY) nearest[count++] = least;
            System.arraycopy(ring, 0, ring, 1, LOOK_BACK - 1);
            ring[0] = k;
        }
        return count == 0 ? 0 : Robust.quantile(Arrays.copyOf(nearest, count), 0.9);
    }

    private static int[] newRing() {
        int[] ring = new int[LOOK_BACK];
        Arrays.fill(ring, -1);
        return ring;
    }
}
