package buswitness.capture;

/**
 * Learns from all samples of a line how far its two levels lie apart, how many samples an edge takes, and how noisy the
 * levels are. Works on short windows, since the levels themselves wander where the tap is coupled through a capacitor.
 */
final class SignalStats {
    private static final int WINDOW = 64;
    private static final int SIZES = 5;
    private static final int BINS = 4096;
    private static final int BINS_PER_OCTAVE = 48;
    /** Mean range of 64 normal deviates in standard deviations (Tippett 1925; 4.74 from memory). */
    private static final double RANGE_OF_64 = 4.74;

    private final float[] window = new float[WINDOW];
    private int filled;
    private float before = Float.NaN;
    private final float[] low = new float[SIZES];
    private final float[] high = new float[SIZES];
    private final int[] parts = new int[SIZES];
    private final long[][] windows = new long[SIZES][BINS];
    private final double[] steepest = new double[BINS];
    private final double[] middle = new double[BINS];

    void take(float x) {
        window[filled++] = x;
        if (filled == WINDOW) windowFull();
    }

    private void windowFull() {
        float min = window[0];
        float max = min;
        float step = Float.isNaN(before) ? 0 : Math.abs(min - before);
        for (int i = 1; i < WINDOW; i++) {
            min = Math.min(min, window[i]);
            max = Math.max(max, window[i]);
            step = Math.max(step, Math.abs(window[i] - window[i - 1]));
        }
        int between = 0;
        for (float x : window) {
            if (x - min > 0.25f * (max - min) && max - x > 0.25f * (max - min)) between++;
        }
        int bin = bin(max - min);
        steepest[bin] += Math.min(step, max - min);
        middle[bin] += (double) between / WINDOW;
        before = window[WINDOW - 1];
        filled = 0;
        add(0, min, max);
    }

    private void add(int size, float min, float max) {
        windows[size][bin(max - min)]++;
        if (size + 1 == SIZES) return;
        int next = size + 1;
        low[next] = parts[next] == 0 ? min : Math.min(low[next], min);
        high[next] = parts[next] == 0 ? max : Math.max(high[next], max);
        if (++parts[next] == 4) {
            parts[next] = 0;
            add(next, low[next], high[next]);
        }
    }

    private static int bin(double range) {
        if (!(range > 0)) return 0;
        int bin = (int) Math.round(Math.log(range) / Math.log(2) * BINS_PER_OCTAVE) + BINS / 2;
        return Math.max(0, Math.min(BINS - 1, bin));
    }

    private static double range(int bin) {
        return bin == 0 ? 0 : Math.pow(2, (double) (bin - BINS / 2) / BINS_PER_OCTAVE);
    }

    /** Median range of the windows with more than half of the largest usual range; 0 where nothing moves. */
    private double active(int size) {
        long all = 0;
        for (long n : windows[size]) all += n;
        if (all == 0) return Double.NaN;
        int top = BINS - 1;
        // One click in a thousand windows does not set the scale, unless there are too few to tell.
        for (long above = windows[size][top]; above * 1000 <= all && top > 0; above += windows[size][top]) top--;
        int half = Math.max(1, top - BINS_PER_OCTAVE);
        long count = 0;
        for (int b = half; b <= top; b++) count += windows[size][b];
        long seen = 0;
        for (int b = half; b <= top; b++) {
            seen += windows[size][b];
            if (seen * 2 >= count && seen > 0) return range(b);
        }
        return 0;
    }

    /** What was learned. @return swing 0 where the line rests, or where nothing but noise is on it */
    SignalShape shape() {
        double swing = active(0);
        if (Double.isNaN(swing)) return new SignalShape(0, 1, 0);
        for (int size = 1; size < SIZES; size++) {
            double wider = active(size);
            if (Double.isNaN(wider) || swing >= 0.85 * wider) break;
            swing = wider;
        }
        double steps = 0;
        double between = 0;
        long moving = 0;
        long quiet = 0;
        for (int b = 0; b < BINS; b++) {
            if (range(b) > swing / 2) {
                steps += steepest[b];
                between += middle[b];
                moving += windows[0][b];
            } else if (range(b) < swing / 4) {
                quiet += windows[0][b];
            }
        }
        if (moving == 0) return new SignalShape(0, 1, 0);
        double edge = Math.max(1, swing / (steps / moving));
        // Noise jumps about between its extremes; two levels keep to them, and a long edge does not jump.
        if (between / moving > 0.4 && edge < 3) return new SignalShape(0, 1, 0);
        return new SignalShape(swing, edge, quietRange(quiet, swing) / RANGE_OF_64);
    }

    private double quietRange(long quiet, double swing) {
        long seen = 0;
        for (int b = 0; b < BINS && range(b) < swing / 4; b++) {
            seen += windows[0][b];
            if (seen * 2 >= quiet && seen > 0) return range(b);
        }
        return 0;
    }
}
