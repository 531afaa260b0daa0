package buswitness.senders;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;

/**
 * What rounding to the recorder's tick may feign. Where the tick keeps step with the bits all edges of a frame are rounded
 * alike, and one sender's asymmetry comes in steps of two ticks, which look like two transmitters and are none.
 *
 * @param tickNanos of the recorder; 0 where unknown
 * @param ticks     in one nominal bit; NaN where unknown
 */
public record TickStep(double tickNanos, double ticks) {
    private static final int MOST_PARTS = 5;
    private static final double TURNS = 1.5;
    /** Differences of asymmetry below this many ticks may be rounding. */
    private static final double BELIEVED = 3;
    private static final double BELIEVED_IN_STEP = 5;
    /** A slope through many edges that see many places of the tick. */
    private static final double BELIEVED_SLOPE = 1.2;

    public static TickStep of(FrameLog log, BusInfo bus) {
        double tick = log.tickPicos() > 0 ? log.tickPicos() : commonStep(log);
        return new TickStep(tick * 1e-3, tick > 0 && bus.wire() ? bus.bitPicos() / tick : Double.NaN);
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

    /** Difference of asymmetry that rounding alone may give between frames, nanoseconds. */
    public double roundingNanos(boolean inStep) {
        return (inStep ? BELIEVED_IN_STEP : BELIEVED) * tickNanos;
    }

    /** The same for the bit length, ppm, where the edges span so many bits. */
    public double roundingPpm(boolean inStep, double bits) {
        return (inStep ? BELIEVED : BELIEVED_SLOPE) * 1e6 / (ticks * bits);
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
