package buswitness.senders;

/** Which nominal period a measured one stands for. */
final class Nominal {
    private static final double WITHIN = 0.005;

    private Nominal() {}

    /**
     * The layout's period where the measured one lies within half a per cent of it; else the roundest number as near:
     * one digit (100 ms), then halves (25 ms, 150 ms), then two digits (64 ms).
     *
     * @return seconds, NaN where no such number is near
     */
    static double of(double period, double layoutPeriod) {
        if (!(period > 0)) return Double.NaN;
        if (layoutPeriod > 0 && Math.abs(period / layoutPeriod - 1) <= WITHIN) return layoutPeriod;
        double found = nearest(period, 1);
        if (Double.isNaN(found)) found = nearest(period, 0.5);
        return Double.isNaN(found) ? nearest(period, 0.1) : found;
    }

    /** Nearest multiple of {@code step} units of the leading digit. */
    private static double nearest(double period, double step) {
        // From microseconds up, so that the scale is a whole power of ten and prints as a round number.
        int exponent = (int) Math.floor(Math.log10(period * (1 + WITHIN)) + 9);
        double scale = Math.pow(10, exponent);
        double value = Math.rint(period * 1e9 / scale / step) * step * scale / 1e9;
        return Math.abs(period / value - 1) <= WITHIN ? value : Double.NaN;
    }
}
