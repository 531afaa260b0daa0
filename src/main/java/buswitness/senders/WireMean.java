package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * Mean bit length or asymmetry of some frames. Every frame weighs the same: weights made of a frame's own scatter would
 * follow its value where the tick is in step or the line rings, and bend the mean. The error comes from the frames'
 * scatter and from that of stretches of time, whichever is larger, so that what changes slowly (warming, a place in the
 * tick that creeps) is not taken for precision.
 *
 * @param value  ppm or nanoseconds
 * @param error  one standard error
 * @param bound  what rounding to the tick may hold besides, whatever the number of frames; same unit
 * @param frames that were measured, wild ones left out
 */
public record WireMean(double value, double error, double bound, int frames) {
    /** What is averaged. */
    public enum Trait {
        BIT_PPM, ASYMMETRY_NANOS
    }

    /** Fewer frames have no mean. */
    public static final int FEWEST = 8;
    /** The error of a frame that no scatter shows, as a share of the tick's step. */
    static final double LEAST_SCATTER = 0.1;
    /** Too few frames to see slow changes: their scatter counts half as much again. */
    static final double UNSEEN_CHANGES = 1.5;
    private static final int STRETCHES = 12;
    private static final int FRAMES_A_STRETCH = 4;
    private static final int FEWEST_STRETCHES = 4;
    /** Frames this many deviations, and steps of the tick, from the middle are merged or disturbed. */
    private static final double WILD = 6;
    private static final double WILD_STEPS = 3;
    private static final double UNDITHERED_ERRORS = 3;

    /**
     * @param frames   in time order
     * @param tick     null where no tick is to be allowed for
     * @param dithered {@link TickStep#dither}: 0 where the frames' starts need not scatter over the tick
     * @return null where fewer than eight frames show it
     */
    public static WireMean of(FrameLog log, int[] frames, Trait trait, TickStep tick, double dithered) {
        int[] kept = tame(log, frames, trait, tick);
        if (kept.length < FEWEST) return null;
        double[] x = values(log, kept, trait);
        double scatter = Math.max(deviation(x), tick == null ? 0 : LEAST_SCATTER * tick.step(trait, bits(log, kept, tick)));
        double error = scatter / Math.sqrt(x.length);
        int stretches = Math.min(STRETCHES, x.length / FRAMES_A_STRETCH);
        if (stretches < FEWEST_STRETCHES) error *= UNSEEN_CHANGES;
        else error = Math.max(error, deviation(stretchMeans(x, stretches)) / Math.sqrt(stretches));
        return new WireMean(mean(x), error, tick == null ? 0 : bound(log, kept, trait, tick, dithered), x.length);
    }

    /** The frames that show it, without wild ones. */
    static int[] tame(FrameLog log, int[] frames, Trait trait, TickStep tick) {
        int[] timed = timed(log, frames);
        if (timed.length == 0) return timed;
        double[] x = values(log, timed, trait);
        double step = tick == null ? 0 : tick.step(trait, bits(log, timed, tick));
        double middle = Robust.median(x);
        double wild = Math.max(WILD * Robust.spread(x, x.length, middle), WILD_STEPS * step);
        return Arrays.stream(timed).filter(f -> !(Math.abs(value(log, f, trait) - middle) > wild)).toArray();
    }

    static int[] timed(FrameLog log, int[] frames) {
        return Arrays.stream(frames).filter(f -> log.bitPpmError(f) > 0 && log.asymmetryErrorNanos(f) > 0).toArray();
    }

    private static double value(FrameLog log, int frame, Trait trait) {
        return trait == Trait.BIT_PPM ? log.bitPpm(frame) : log.asymmetryNanos(frame);
    }

    /** Values of the frames that show it. */
    public static double[] values(FrameLog log, int[] frames, Trait trait) {
        return Arrays.stream(timed(log, frames)).mapToDouble(f -> value(log, f, trait)).toArray();
    }

    /** Nominal bits that the fitted edges of such frames span. */
    public static double bits(FrameLog log, int[] frames, TickStep tick) {
        return tick.bits(log, frames[frames.length / 2]);
    }

    /**
     * Starts that scatter over several ticks see every place of it alike, down to the ends of their scatter. Else all
     * frames may be rounded alike: in step by two ticks of asymmetry at most (two neighbouring values of the shift);
     * out of step the edges of a frame scatter by its own error, and every frame of that train errs as the first.
     */
    static double bound(FrameLog log, int[] frames, Trait trait, TickStep tick, double dithered) {
        double bits = bits(log, frames, tick);
        if (dithered > 0) return tick.step(trait, bits) / (Math.PI * Math.PI * 3 * dithered);
        if (tick.inStep(Robust.median(values(log, frames, Trait.BIT_PPM)), bits)) return tick.mostRounding(trait, bits);
        boolean ppm = trait == Trait.BIT_PPM;
        double[] errors = Arrays.stream(frames).mapToDouble(f -> ppm ? log.bitPpmError(f) : log.asymmetryErrorNanos(f))
                .toArray();
        return UNDITHERED_ERRORS * Robust.median(errors);
    }

    /** Signed standard errors by which the other one is more, beyond what rounding may hold. */
    public double deviation(WireMean other, double floor) {
        double apart = other.value - value;
        double beyond = Math.max(0, Math.abs(apart) - Math.max(bound, other.bound));
        return Math.signum(apart) * beyond / Math.sqrt(error * error + other.error * other.error + 2 * floor * floor);
    }

    private static double[] stretchMeans(double[] x, int stretches) {
        double[] means = new double[stretches];
        for (int s = 0; s < stretches; s++) {
            means[s] = mean(Arrays.copyOfRange(x, s * x.length / stretches, (s + 1) * x.length / stretches));
        }
        return means;
    }

    static double mean(double[] x) {
        return Arrays.stream(x).average().orElse(Double.NaN);
    }

    static double deviation(double[] x) {
        double mean = mean(x);
        double squares = 0;
        for (double v : x) squares += (v - mean) * (v - mean);
        return Math.sqrt(squares / (x.length - 1));
    }
}
