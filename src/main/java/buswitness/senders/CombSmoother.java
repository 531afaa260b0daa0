package buswitness.senders;

import buswitness.stats.Robust;

/**
 * Where the teeth of a comb really lie: Kalman filter forward, Rauch-Tung-Striebel smoother back (H. E. Rauch, F. Tung,
 * C. T. Striebel, AIAA Journal 3, 1965), state (time of tooth, period), jitter that does not add up, a clock that
 * wanders, and for delay loops a phase that walks. Result: one time and one standard error for every tooth.
 */
final class CombSmoother {
    private static final int MARGIN_TEETH = 3;
    private static final double OUTLIER = 4;

    /** Tooth number of index 0. */
    int firstTooth;
    /** Time of each tooth. */
    final double[] at;

    private final double assumed;
    private int used;
    private final int[] tooth;
    private final double[] measured;
    private final double[] p;
    private final double[] v;
    private final double[] pp;
    private final double[] pv;
    private final double[] vv;
    private final double walk;
    private final double wander;

    /**
     * @param period rough period
     * @param jitter expected standard deviation of a release about its tooth, above 0
     * @param walk   variance that the phase gains with each tooth; 0 for a timer
     */
    CombSmoother(MessageFrames frames, Comb comb, double period, double jitter, double walk) {
        this.walk = walk;
        wander = Math.pow(CombTracker.WANDER_PPM * 1e-6 * period, 2) * period / 60;
        int sharp = 0;
        for (int i = 0; i < comb.size; i++) if (comb.sharp[i]) sharp++;
        boolean all = sharp < 3;
        tooth = new int[comb.size];
        measured = new double[comb.size];
        for (int i = 0; i < comb.size; i++) {
            if (!all && !comb.sharp[i]) continue;
            tooth[used] = comb.tooth[i];
            measured[used++] = frames.at[comb.member[i]];
        }
        p = new double[used];
        v = new double[used];
        pp = new double[used];
        pv = new double[used];
        vv = new double[used];
        filter(period, Math.max(jitter, 5e-7));
        smooth();
        assumed = jitter;
        firstTooth = comb.layFirst() - MARGIN_TEETH;
        at = new double[comb.layLast() - comb.layFirst() + 1 + 2 * MARGIN_TEETH];
        teeth(null);
    }

    /** Standard error of the time of each tooth. Worked out anew: of many combs tried only a few are asked. */
    float[] errors() {
        float[] error = new float[at.length];
        teeth(error);
        return error;
    }

    private void filter(double period, double jitter) {
        double square = jitter * jitter;
        double at = measured[0];
        double rate = used > 1 ? (measured[used - 1] - at) / (tooth[used - 1] - tooth[0]) : period;
        double varAt = 4 * square;
        double cov = 0;
        double varRate = Math.pow(2e-3 * period, 2);
        for (int i = 0; i < used; i++) {
            if (i > 0) {
                double k = tooth[i] - tooth[i - 1];
                at += k * rate;
                varAt += 2 * k * cov + k * k * varRate + walk * k + wander * k * k * k / 3;
                cov += k * varRate + wander * k * k / 2;
                varRate += wander * k;
            }
            double innovation = measured[i] - at;
            double noise = square;
            double excess = innovation * innovation / (OUTLIER * OUTLIER * (varAt + square));
            if (excess > 1) noise *= excess * excess;
            double s = varAt + noise;
            double ka = varAt / s;
            double kr = cov / s;
            at += ka * innovation;
            rate += kr * innovation;
            varRate -= kr * cov;
            cov *= 1 - ka;
            varAt *= 1 - ka;
            p[i] = at;
            v[i] = rate;
            pp[i] = varAt;
            pv[i] = cov;
            vv[i] = varRate;
        }
    }

    private void smooth() {
        for (int i = used - 2; i >= 0; i--) {
            double k = tooth[i + 1] - tooth[i];
            double a = p[i] + k * v[i];
            double b = v[i];
            double f11 = pp[i] + 2 * k * pv[i] + k * k * vv[i] + walk * k + wander * k * k * k / 3;
            double f12 = pv[i] + k * vv[i] + wander * k * k / 2;
            double f22 = vv[i] + wander * k;
            double det = f11 * f22 - f12 * f12;
            if (!(det > 0)) continue;
            // Gain C = P F' inv(forecast covariance), F = [1 k; 0 1].
            double c1 = pp[i] + k * pv[i];
            double c2 = pv[i];
            double c3 = pv[i] + k * vv[i];
            double c4 = vv[i];
            double g11 = (c1 * f22 - c2 * f12) / det;
            double g12 = (c2 * f11 - c1 * f12) / det;
            double g21 = (c3 * f22 - c4 * f12) / det;
            double g22 = (c4 * f11 - c3 * f12) / det;
            double da = p[i + 1] - a;
            double db = v[i + 1] - b;
            p[i] += g11 * da + g12 * db;
            v[i] += g21 * da + g22 * db;
            double d11 = pp[i + 1] - f11;
            double d12 = pv[i + 1] - f12;
            double d22 = vv[i + 1] - f22;
            double m11 = g11 * d11 + g12 * d12;
            double m12 = g11 * d12 + g12 * d22;
            double m21 = g21 * d11 + g22 * d12;
            double m22 = g21 * d12 + g22 * d22;
            pp[i] = Math.max(0, pp[i] + m11 * g11 + m12 * g12);
            pv[i] += m11 * g21 + m12 * g22;
            vv[i] = Math.max(0, vv[i] + m21 * g21 + m22 * g22);
        }
    }

    /** Lays out the times, or their errors where an array for them is given. */
    private void teeth(float[] error) {
        int i = 0;
        for (int t = 0; t < at.length; t++) {
            int number = firstTooth + t;
            while (i + 1 < used && tooth[i + 1] <= number) i++;
            boolean inside = i + 1 < used && number > tooth[i];
            if (error == null) at[t] = inside ? between(number, i) : p[i] + (number - tooth[i]) * v[i];
            else error[t] = (float) Math.sqrt(inside ? varianceBetween(number, i) : varianceBeyond(number - tooth[i], i));
        }
    }

    /** Cubic through both neighbours with their slopes. */
    private double between(int number, int i) {
        double span = tooth[i + 1] - tooth[i];
        double u = (number - tooth[i]) / span;
        double h = u * u * (3 - 2 * u);
        return p[i] * (1 - h) + p[i + 1] * h + span * (u * (1 - u) * (1 - u) * v[i] - u * u * (1 - u) * v[i + 1]);
    }

    private double varianceBetween(int number, int i) {
        double span = tooth[i + 1] - tooth[i];
        double u = (number - tooth[i]) / span;
        double inner = walk * span * u * (1 - u) + wander * Math.pow(span * u * (1 - u), 3) / 3;
        return Math.max(pp[i], pp[i + 1]) + inner;
    }

    private double varianceBeyond(int steps, int i) {
        double k = Math.abs(steps);
        return Math.max(pp[i] + 2 * steps * pv[i] + k * k * vv[i] + walk * k + wander * k * k * k / 3, 0);
    }

    /** Standard deviation of a release about its tooth. */
    double jitter() {
        if (used < 5) return assumed;
        double[] residual = new double[used];
        for (int i = 0; i < used; i++) residual[i] = measured[i] - p[i];
        double leverage = 0;
        double square = assumed * assumed;
        for (int i = 0; i < used; i++) leverage += Math.min(0.9, pp[i] / square);
        // Residuals about a smoothed line are smaller than the jitter itself by the share the line follows.
        return Math.max(5e-7, Robust.spread(residual, used, 0) / Math.sqrt(1 - leverage / used));
    }

    double timeOf(int toothNumber) {
        return at[toothNumber - firstTooth];
    }

    /** Released minus tooth, for each member of the comb. */
    double[] residuals(MessageFrames frames, Comb comb) {
        double[] r = new double[comb.size];
        for (int i = 0; i < comb.size; i++) {
            int m = comb.member[i];
            double tooth = timeOf(comb.tooth[i]);
            r[i] = Math.max(frames.earliest[m], Math.min(frames.at[m], tooth)) - tooth;
        }
        return r;
    }
}
