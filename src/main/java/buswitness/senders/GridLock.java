package buswitness.senders;

/**
 * Whether events share one phase of a task grid with the main comb. R is the length of the mean unit vector of the
 * distances taken modulo the grid; by chance it reaches R with probability exp(-n R^2) (Lord Rayleigh, Phil. Mag. 37,
 * 1919), here times the number of grids tried.
 */
record GridLock(double r, double gridSeconds, int events, double log10Chance) {
    private static final double[] GRIDS = {1e-3, 2e-3, 2.5e-3, 5e-3, 10e-3, 20e-3, 25e-3, 50e-3, 100e-3};
    private static final double SHARPEST = 6;
    private static final GridLock NONE = new GridLock(Double.NaN, Double.NaN, 0, Double.NaN);

    static GridLock of(MessageFrames frames, Train main, byte[] label, int eventLabel) {
        int n = 0;
        double[] away = new double[frames.count];
        int hint = 0;
        for (int i = 0; i < frames.count; i++) {
            if (label[i] < eventLabel || !frames.free[i]) continue;
            hint = main.nearest(frames.at[i], hint);
            double d = frames.at[i] - main.tooth[hint];
            if (Math.abs(d) < main.meanPeriod) away[n++] = d;
        }
        if (n < 3) return NONE;
        int tried = 0;
        GridLock best = NONE;
        for (double grid : GRIDS) {
            double whole = main.meanPeriod / grid;
            boolean divides = Math.abs(whole - Math.rint(whole)) < 0.005 * whole && whole > 1.5;
            if (!divides || grid < SHARPEST * main.jitter) continue;
            tried++;
            double x = 0;
            double y = 0;
            for (int i = 0; i < n; i++) {
                double angle = 2 * Math.PI * away[i] / (main.meanPeriod / Math.rint(whole));
                x += Math.cos(angle);
                y += Math.sin(angle);
            }
            double r = Math.hypot(x, y) / n;
            if (Double.isNaN(best.r) || r > best.r) best = new GridLock(r, grid, n, 0);
        }
        if (tried == 0) return NONE;
        double chance = -n * best.r * best.r / Math.log(10) + Math.log10(tried);
        return new GridLock(best.r, best.gridSeconds, n, Math.min(0, chance));
    }
}
