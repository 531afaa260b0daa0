package buswitness.map;

import buswitness.frames.FrameLog;

/** Bit length and edges of a set of frames. */
record WireTrait(double ppm, double ppmError, double nanos, double nanosError) {
    static final WireTrait NONE = new WireTrait(Double.NaN, Double.NaN, Double.NaN, Double.NaN);
    private static final int FEWEST = 8;

    static WireTrait of(FrameLog log, int[] frames) {
        double[] ppm = mean(log, frames, true);
        double[] nanos = mean(log, frames, false);
        return ppm == null || nanos == null ? NONE : new WireTrait(ppm[0], ppm[1], nanos[0], nanos[1]);
    }

    /** Weighted mean; its error from the scatter, never less than the frames' own errors give. */
    private static double[] mean(FrameLog log, int[] frames, boolean ofPpm) {
        double weight = 0;
        double sum = 0;
        double squares = 0;
        int n = 0;
        for (int f : frames) {
            double error = ofPpm ? log.bitPpmError(f) : log.asymmetryErrorNanos(f);
            double value = ofPpm ? log.bitPpm(f) : log.asymmetryNanos(f);
            if (!(error > 0) || Double.isNaN(value)) continue;
            double w = 1 / (error * error);
            weight += w;
            sum += w * value;
            squares += w * value * value;
            n++;
        }
        if (n < FEWEST) return null;
        double mean = sum / weight;
        double scatter = Math.max(0, squares - weight * mean * mean) / (n - 1);
        return new double[] {mean, Math.sqrt(Math.max(1, scatter) / weight)};
    }

    boolean known() {
        return !Double.isNaN(ppm);
    }

    WireTrait with(WireTrait other) {
        if (!known()) return other;
        if (!other.known()) return this;
        double[] p = both(ppm, ppmError, other.ppm, other.ppmError);
        double[] e = both(nanos, nanosError, other.nanos, other.nanosError);
        return new WireTrait(p[0], p[1], e[0], e[1]);
    }

    private static double[] both(double a, double ea, double b, double eb) {
        double wa = 1 / (ea * ea);
        double wb = 1 / (eb * eb);
        return new double[] {(wa * a + wb * b) / (wa + wb), Math.sqrt(1 / (wa + wb))};
    }
}
