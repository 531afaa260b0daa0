package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.senders.WireMean.Trait;
import java.util.Arrays;

/**
 * By how much the frames of one train differ on the wire from those of another that ran beside it, stretch of time by
 * stretch of time: what changes both alike (warming, the recorder's clock, a unit replaced by another) falls out. The
 * error is the larger of what the frames' scatter within stretches gives and what the stretches' scatter gives.
 *
 * @param difference second less first, ppm or nanoseconds
 * @param error      one standard error of it
 * @param early      the difference over the first half of the stretches
 * @param late       over the second
 * @param bound      what rounding to the tick may hold besides, whatever the number of frames
 */
public record WireContrast(double difference, double error, double early, double late, double bound) {
    private static final int STRETCHES = 12;
    private static final int FRAMES_A_STRETCH = 4;
    private static final int FEWEST_IN_STRETCH = 2;
    private static final int FEWEST_STRETCHES = 4;

    /**
     * @param a       log indexes in time order
     * @param b       likewise
     * @param tick    the recorder's
     * @param ditherA {@link TickStep#dither} of the first train, 0 where its starts need not scatter over the tick
     * @param ditherB of the second
     * @return null where fewer than eight frames of either show it, or they do not run side by side
     */
    public static WireContrast of(FrameLog log, int[] a, int[] b, Trait trait, TickStep tick, double ditherA,
                                  double ditherB) {
        int[] first = WireMean.tame(log, a, trait, tick);
        int[] second = WireMean.tame(log, b, trait, tick);
        int fewer = Math.min(first.length, second.length);
        if (fewer < WireMean.FEWEST) return null;
        int most = Math.max(2, Math.min(STRETCHES, fewer / FRAMES_A_STRETCH));
        int[] guide = first.length <= second.length ? first : second;
        double[] apart = new double[most];
        double squares = 0;
        int n = 0;
        for (int s = 0; s < most; s++) {
            int from = s == 0 ? -1 : guide[(int) ((long) s * guide.length / most)];
            int until = s + 1 == most ? Integer.MAX_VALUE : guide[(int) ((long) (s + 1) * guide.length / most)];
            double[] x = WireMean.values(log, between(first, from, until), trait);
            double[] y = WireMean.values(log, between(second, from, until), trait);
            if (Math.min(x.length, y.length) < FEWEST_IN_STRETCH) continue;
            apart[n++] = WireMean.mean(y) - WireMean.mean(x);
            squares += square(WireMean.deviation(x)) / x.length + square(WireMean.deviation(y)) / y.length;
        }
        if (n < 2) return null;
        double[] all = Arrays.copyOf(apart, n);
        double least = WireMean.LEAST_SCATTER * tick.step(trait, WireMean.bits(log, first, tick));
        double error = Math.hypot(Math.sqrt(squares) / n, least * Math.sqrt(1.0 / first.length + 1.0 / second.length));
        error = n < FEWEST_STRETCHES ? WireMean.UNSEEN_CHANGES * error
                : Math.max(error, WireMean.deviation(all) / Math.sqrt(n));
        double bound = Math.max(WireMean.bound(log, first, trait, tick, ditherA),
                WireMean.bound(log, second, trait, tick, ditherB));
        return new WireContrast(WireMean.mean(all), error, WireMean.mean(Arrays.copyOf(all, n / 2)),
                WireMean.mean(Arrays.copyOfRange(all, n / 2, n)), bound);
    }

    private static double square(double x) {
        return x * x;
    }

    private static int[] between(int[] frames, int from, int until) {
        return Arrays.stream(frames).filter(f -> f >= from && f < until).toArray();
    }

    /** Signed standard errors beyond what rounding may hold; {@code floor} is what messages of one node differ by. */
    public double deviation(double floor) {
        return beyond(difference) / Math.sqrt(error * error + 2 * floor * floor);
    }

    /** The same of the first half alone. */
    public double early(double floor) {
        return half(early, floor);
    }

    public double late(double floor) {
        return half(late, floor);
    }

    /** The lesser of the two halves' deviations in the direction of the whole; negative where a half contradicts. */
    double halves(double floor) {
        return Math.signum(difference) * (difference > 0 ? Math.min(early(floor), late(floor))
                : Math.max(early(floor), late(floor)));
    }

    private double half(double apart, double floor) {
        return beyond(apart) / Math.sqrt(2 * error * error + 2 * floor * floor);
    }

    private double beyond(double apart) {
        return Math.signum(apart) * Math.max(0, Math.abs(apart) - bound);
    }

    /**
     * Frames of the smaller set against the straight line between the other set's frames right before and after each: a
     * clock's wander, however far it goes, falls out.
     *
     * @return mean difference in its standard errors, from the differences' own scatter; 0 where too few
     */
    public static double besideNeighbours(FrameLog log, int[] a, int[] b, Trait trait, TickStep tick) {
        int[] first = WireMean.tame(log, a, trait, tick);
        int[] second = WireMean.tame(log, b, trait, tick);
        int[] fewer = first.length <= second.length ? first : second;
        int[] more = fewer == first ? second : first;
        double[] apart = new double[fewer.length];
        int n = 0;
        for (int frame : fewer) {
            int at = -Arrays.binarySearch(more, frame) - 1;
            if (at <= 0 || at >= more.length) continue;
            double[] around = WireMean.values(log, new int[] {more[at - 1], frame, more[at]}, trait);
            double span = log.startSeconds(more[at]) - log.startSeconds(more[at - 1]);
            if (around.length < 3 || !(span > 0)) continue;
            double share = (log.startSeconds(frame) - log.startSeconds(more[at - 1])) / span;
            apart[n++] = around[1] - around[0] * (1 - share) - around[2] * share;
        }
        if (n < WireMean.FEWEST) return 0;
        double[] all = Arrays.copyOf(apart, n);
        return WireMean.mean(all) / (WireMean.deviation(all) / Math.sqrt(n));
    }
}
