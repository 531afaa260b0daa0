package buswitness.map;

/** Bounds on chances, as powers of ten. */
final class Chance {
    private Chance() {}

    /**
     * log10 of a bound on the chance of {@code k} or more hits in {@code n} trials of chance {@code p} each (W. Hoeffding,
     * Journal of the American Statistical Association 58, 1963, theorem 1); 0 where there are no more than expected.
     */
    static double atLeast(int k, int n, double p) {
        if (n == 0 || k <= n * p) return 0;
        if (p <= 0) return Double.NEGATIVE_INFINITY;
        double q = (double) k / n;
        double divergence = q * Math.log(q / p);
        if (q < 1) divergence += (1 - q) * Math.log((1 - q) / (1 - p));
        return -n * divergence / Math.log(10);
    }
}
