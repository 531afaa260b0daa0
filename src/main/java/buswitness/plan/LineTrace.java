package buswitness.plan;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.Arrays;

/** A switch or pulse line beside the bus, kept whole: such lines change seldom. Times in picoseconds. */
final class LineTrace {
    /** 32 MB; a line with more changes is a bus, not a pulse input. */
    private static final int MOST_CHANGES = 4_000_000;
    /**
     * How true the recorder's own clock is taken to be, as a share: 50 ppm either way, rectangular (common practice for
     * crystals, no source). It drops out of a ratio of two lines.
     */
    static final double RECORDER_CLOCK = 50e-6 / Math.sqrt(3);

    final String name;
    private final String source;
    private long[] at = new long[64];
    private byte[] level = new byte[64];
    private int size;
    private long[] gaps = new long[4];
    private int gapCount;
    long beganPicos = -1;

    LineTrace(String name, String source) {
        this.name = name;
        this.source = source;
    }

    void begin(long atPicos, int now) {
        if (beganPicos < 0) beganPicos = atPicos;
        if (size > 0 && level[size - 1] == now) return;
        add(atPicos, now);
    }

    void add(long atPicos, int now) {
        if (size == MOST_CHANGES) {
            throw new InputFault(Place.file(source), "line '" + name + "' changes more than " + MOST_CHANGES + " times",
                    "name a pulse or switch line, or record a shorter stretch");
        }
        if (size == at.length) {
            at = Arrays.copyOf(at, size * 2);
            level = Arrays.copyOf(level, size * 2);
        }
        at[size] = atPicos;
        level[size++] = (byte) now;
    }

    void gap(long fromPicos, long untilPicos) {
        if (gapCount + 2 > gaps.length) gaps = Arrays.copyOf(gaps, gapCount * 2);
        gaps[gapCount++] = fromPicos;
        gaps[gapCount++] = untilPicos;
    }

    boolean hasGap(double from, double until) {
        for (int i = 0; i < gapCount; i += 2) {
            if (gaps[i] * 1e-12 < until && gaps[i + 1] * 1e-12 > from) return true;
        }
        return false;
    }

    /** Times in seconds of its changes to {@code to} within the window; the level told at the beginning is no change. */
    double[] changes(int to, double from, double until) {
        double[] out = new double[size];
        int n = 0;
        for (int i = 1; i < size; i++) {
            double seconds = at[i] * 1e-12;
            if (level[i] == to && seconds >= from && seconds <= until) out[n++] = seconds;
        }
        return Arrays.copyOf(out, n);
    }

    /**
     * Pulses a second in a window by counting whole periods between the first and the last rising edge.
     *
     * @return frequency and its standard uncertainty; NaN with fewer than 2 edges. The uncertainty holds the tick of
     *         both ends (rectangular, JCGM 100:2008, 4.3.7) and the scatter of the periods.
     */
    double[] frequency(double from, double until, double tickSeconds) {
        double[] rises = changes(1, from, until);
        int n = rises.length - 1;
        if (n < 1) return new double[] {Double.NaN, Double.NaN, rises.length};
        double span = rises[n] - rises[0];
        double mean = span / n;
        double scatter = 0;
        for (int i = 1; i <= n; i++) scatter += Math.pow(rises[i] - rises[i - 1] - mean, 2);
        double jitter = n > 1 ? Math.sqrt(scatter / (n - 1) / 2) : 0;
        double end = Math.hypot(tickSeconds / Math.sqrt(12), jitter);
        return new double[] {n / span, n / span * Math.sqrt(2) * end / span, rises.length};
    }
}
