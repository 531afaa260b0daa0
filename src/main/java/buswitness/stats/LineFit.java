package buswitness.stats;

/**
 * A straight line {@code y = intercept + slope * (x - centre)} through points, with standard errors.
 *
 * @param centre         mean of x, so that the two errors do not correlate
 * @param intercept      y at {@code centre}
 * @param slope          NaN with fewer than two different x
 * @param interceptError one standard error from the scatter; NaN with fewer than 3 points
 * @param slopeError     likewise
 * @param residual       standard deviation of the residuals, n - 2 degrees of freedom
 * @param count          points used
 */
public record LineFit(double centre, double intercept, double slope, double interceptError, double slopeError,
                      double residual, int count) {

    public double at(double x) {
        return intercept + slope * (x - centre);
    }

    /** Ordinary least squares over the first {@code count} points. */
    public static LineFit leastSquares(double[] x, double[] y, int count) {
        return weighted(x, y, null, count);
    }

    /**
     * Weighted least squares; errors from the weighted scatter.
     *
     * @param weight relative, at least 0; null for all alike
     */
    public static LineFit weighted(double[] x, double[] y, double[] weight, int count) {
        double sum = 0;
        double centre = 0;
        double mean = 0;
        int used = 0;
        for (int i = 0; i < count; i++) {
            double w = weight == null ? 1 : weight[i];
            if (w <= 0) continue;
            used++;
            sum += w;
            centre += w * (x[i] - centre) / sum;
            mean += w * (y[i] - mean) / sum;
        }
        double xx = 0;
        double xy = 0;
        for (int i = 0; i < count; i++) {
            double w = weight == null ? 1 : weight[i];
            xx += w * (x[i] - centre) * (x[i] - centre);
            xy += w * (x[i] - centre) * (y[i] - mean);
        }
        double slope = xy / xx;
        double square = 0;
        for (int i = 0; i < count; i++) {
            double w = weight == null ? 1 : weight[i];
            double r = y[i] - mean - slope * (x[i] - centre);
            square += w * r * r;
        }
        if (used < 3) return new LineFit(centre, mean, slope, Double.NaN, Double.NaN, Double.NaN, used);
        double variance = square / (used - 2);
        double residual = Math.sqrt(square / sum * used / (used - 2));
        return new LineFit(centre, mean, slope, Math.sqrt(variance / sum), Math.sqrt(variance / xx), residual, used);
    }

    /**
     * Least squares repeated with Tukey's biweight (Beaton and Tukey, Technometrics 16, 1974; tuning constant 4.685 for
     * 95 % efficiency on normal noise), scale from the median absolute residual. Errors are those of the last round.
     */
    public static LineFit robust(double[] x, double[] y, int count) {
        LineFit fit = leastSquares(x, y, count);
        double[] weight = new double[count];
        double[] residual = new double[count];
        for (int round = 0; round < 8 && count >= 5; round++) {
            for (int i = 0; i < count; i++) residual[i] = y[i] - fit.at(x[i]);
            double scale = Robust.spread(residual, count, 0);
            if (!(scale > 0)) return fit;
            for (int i = 0; i < count; i++) {
                double u = residual[i] / (4.685 * scale);
                weight[i] = Math.abs(u) < 1 ? (1 - u * u) * (1 - u * u) : 0;
            }
            LineFit next = weighted(x, y, weight, count);
            if (Double.isNaN(next.slope)) return fit;
            boolean still = Math.abs(next.slope - fit.slope) <= 1e-3 * next.slopeError;
            fit = next;
            if (still) break;
        }
        return fit;
    }

    /**
     * Median of the slopes of all pairs of points (H. Theil, Proc. KNAW 53, 1950; P. K. Sen, JASA 63, 1968). Time grows
     * with the square of {@code count}.
     */
    public static double theilSen(double[] x, double[] y, int count) {
        double[] slopes = new double[count * (count - 1) / 2];
        int n = 0;
        for (int i = 0; i < count; i++) {
            for (int j = i + 1; j < count; j++) {
                if (x[j] != x[i]) slopes[n++] = (y[j] - y[i]) / (x[j] - x[i]);
            }
        }
        return Robust.median(slopes, n);
    }
}
