package buswitness.senders;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.stats.LineFit;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * What rounding to the recorder's tick may feign. Where the tick keeps step with the bits all edges of a frame are
 * rounded alike, and one sender's asymmetry comes in steps of two ticks, which look like two transmitters and are none.
 *
 * @param tickNanos of the recorder; 0 where unknown
 * @param ticks     in one nominal bit; NaN where unknown
 * @param dataShare CAN FD: bit of the data rate over the nominal one; 1 elsewhere
 */
public record TickStep(double tickNanos, double ticks, double dataShare) {
    private static final int MOST_PARTS = 5;
    private static final double TURNS = 1.5;
    /** Differences of bit length below this many ticks a span may be rounding. */
    private static final double BELIEVED = 3;
    /** A slope through many edges that see many places of the tick. */
    private static final double BELIEVED_SLOPE = 1.2;
    /** Control field and check sequence, beside the data. */
    static final int FITTED_BITS = 18;
    /** Likewise of a frame whose payload goes at the data rate, in bits of that rate. */
    private static final int FITTED_FAST_BITS = 30;
    /**
     * Two ticks of asymmetry, and room for edges that lie unevenly; the least where edges are rounded independently.
     */
    private static final double HEAP_STEPS = 2.8;
    private static final double LEAST_STEP = 0.5;
    private static final double UNEVEN = 2;
    /** Two ticks of asymmetry, one of slope, and a tenth for edges that lie unevenly. */
    private static final double MOST_ROUNDING = 1.1;
    /** Starts that scatter by so many ticks see all of it. */
    private static final double DITHERS = 2;
    private static final int FEWEST_GAPS = 8;
    /** A clock that wanders so many ticks from a straight line has brought all of the tick under its starts. */
    private static final double WANDERS = 6;
    private static final int STRETCHES = 12;
    private static final int FRAMES_A_STRETCH = 4;
    private static final int FEWEST_STRETCHES = 5;

    TickStep(double tickNanos, double ticks) {
        this(tickNanos, ticks, 1);
    }

    public static TickStep of(FrameLog log, BusInfo bus) {
        double tick = log.tickPicos() > 0 ? log.tickPicos() : commonStep(log);
        double share = bus.dataBitsPerSecond() > bus.bitsPerSecond() ? bus.bitsPerSecond() / bus.dataBitsPerSecond() : 1;
        return new TickStep(tick * 1e-3, tick > 0 && bus.wire() ? bus.bitPicos() / tick : Double.NaN, share);
    }

    /** Nominal bits that the fitted edges of a frame span. */
    public double bits(FrameLog log, int frame) {
        int data = 8 * log.dataLength(frame);
        return log.switchesRate(frame) ? (FITTED_FAST_BITS + data) * dataShare : FITTED_BITS + data;
    }

    /**
     * Whether the edges of a frame see only a few places of the tick: bit over tick so near to a fraction with a small
     * denominator that they do not sweep from one place to the next within the frame.
     *
     * @param ppm  bit length of the sender against the nominal one
     * @param bits that the edges span
     */
    public boolean inStep(double ppm, double bits) {
        if (Double.isNaN(ticks)) return true;
        double actual = ticks * (1 + ppm * 1e-6);
        for (int parts = 1; parts <= MOST_PARTS; parts++) {
            if (Math.abs(actual * parts - Math.rint(actual * parts)) * bits < TURNS) return true;
        }
        return false;
    }

    /** Difference of bit length that rounding alone may give between frames, ppm, where the edges span so many bits. */
    public double roundingPpm(boolean inStep, double bits) {
        return (inStep ? BELIEVED : BELIEVED_SLOPE) * 1e6 / (ticks * bits);
    }

    /**
     * What one tick at an edge is: of the fitted bits' length, or twice of asymmetry; 0 where the tick is not known.
     */
    double step(WireMean.Trait trait, double bits) {
        if (!(tickNanos > 0) || Double.isNaN(ticks)) return 0;
        return trait == WireMean.Trait.BIT_PPM ? 1e6 / (ticks * bits) : 2 * tickNanos;
    }

    /**
     * Most by which rounding alone can set trains of one sender apart: all edges of one kind of a frame then are
     * rounded alike, so the shift takes one of two neighbouring whole ticks, and asymmetry is twice the shift.
     */
    double mostRounding(WireMean.Trait trait, double bits) {
        return step(trait, bits) * (trait == WireMean.Trait.BIT_PPM ? BELIEVED : MOST_ROUNDING);
    }

    /**
     * How often an edge's place turns through the tick within a frame of so many bits; NaN where the tick is not known.
     */
    double turns(double ppm, double bits) {
        double actual = ticks * (1 + ppm * 1e-6);
        return Math.abs(actual - Math.rint(actual)) * bits;
    }

    /** Heaps of one sender's frames that rounding alone may make lie nearer than this. */
    public double heapsApart(WireMean.Trait trait, double ppm, double bits) {
        boolean inStep = inStep(ppm, bits);
        return trait == WireMean.Trait.BIT_PPM ? roundingPpm(inStep, bits)
                : heapsApartNanos(inStep ? share(ppm, bits) : 0);
    }

    double heapsApartNanos(double share) {
        return Math.max(LEAST_STEP, HEAP_STEPS * share) * tickNanos;
    }

    /**
     * Which share of the most that rounding can do it does in frames of so many bits: edges that see several places of
     * the tick are rounded by a part of it, and less where the place turns within the frame.
     */
    private double share(double ppm, double bits) {
        if (Double.isNaN(ticks)) return 1;
        double actual = ticks * (1 + ppm * 1e-6);
        double most = 0;
        for (int parts = 1; parts <= MOST_PARTS; parts++) {
            double turns = Math.abs(actual * parts - Math.rint(actual * parts)) * bits;
            most = Math.max(most, Math.min(1, UNEVEN / parts) / Math.max(1, turns));
        }
        return most;
    }

    /**
     * By how many ticks the frames' starts scatter about their period, by medians, so that a start that is late now and
     * then by one fixed time does not count; where that is less than two ticks, by what their clock wanders against the
     * recorder's: a wander over several ticks brings every place of it under the starts alike, whatever the period. 0
     * where neither is enough to see every place of the tick alike.
     */
    public double dither(FrameLog log, int[] frames, double periodSeconds) {
        if (frames.length <= FEWEST_GAPS || !(tickNanos > 0)) return 0;
        double[] off = new double[frames.length - 1];
        double[] teeth = new double[frames.length];
        double[] late = new double[frames.length];
        for (int i = 1; i < frames.length; i++) {
            double gap = (log.startPicos(frames[i]) - log.startPicos(frames[i - 1])) * 1e-12;
            double periods = Math.max(1, Math.rint(gap / periodSeconds));
            off[i - 1] = gap - periods * periodSeconds;
            teeth[i] = teeth[i - 1] + periods;
            late[i] = late[i - 1] + off[i - 1];
        }
        double scatter = Robust.spread(off) / Math.sqrt(2) * 1e9 / tickNanos;
        if (scatter >= DITHERS) {
            if (dataShare == 1 || !inStep(0, bits(log, frames[frames.length / 2]))) return scatter;
            // A sender starts at whole bits after the last frame: where a bit is whole ticks, that is no other place.
            double bit = ticks * tickNanos * 1e-9;
            for (int i = 0; i < off.length; i++) off[i] -= Math.rint(off[i] / bit) * bit;
            double within = Robust.spread(off) / Math.sqrt(2) * 1e9 / tickNanos;
            if (within >= DITHERS) return within;
        }
        double wander = wander(teeth, late) * 1e9 / tickNanos;
        return wander >= WANDERS ? wander / WANDERS : 0;
    }

    /** How far the medians of stretches lie from one straight line, from end to end, seconds. */
    private static double wander(double[] teeth, double[] late) {
        int stretches = Math.min(STRETCHES, late.length / FRAMES_A_STRETCH);
        if (stretches < FEWEST_STRETCHES) return 0;
        double[] x = new double[stretches];
        double[] y = new double[stretches];
        for (int s = 0; s < stretches; s++) {
            int from = s * late.length / stretches;
            int until = (s + 1) * late.length / stretches;
            x[s] = Robust.median(Arrays.copyOfRange(teeth, from, until));
            y[s] = Robust.median(Arrays.copyOfRange(late, from, until));
        }
        LineFit line = LineFit.leastSquares(x, y, stretches);
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (int s = 0; s < stretches; s++) {
            low = Math.min(low, y[s] - line.at(x[s]));
            high = Math.max(high, y[s] - line.at(x[s]));
        }
        return high - low;
    }

    /** Largest step that every start is a whole number of, picoseconds. */
    private static long commonStep(FrameLog log) {
        long tick = 0;
        for (int i = 0; i < log.size() && tick != 1; i++) {
            long a = log.startPicos(i);
            long b = tick;
            while (b != 0) {
                long rest = a % b;
                a = b;
                b = rest;
            }
            tick = a;
        }
        return tick;
    }
}
