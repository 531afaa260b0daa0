package buswitness.compare;

import java.util.Arrays;

/**
 * Mean of a series and its standard error where neighbours are alike: means of stretches, each long against the likeness
 * (batch means; A. M. Law and J. S. Carson, Operations Research 27, 1979). Several numbers of stretches are tried and the
 * largest error is taken, since a slow wander hides from short ones.
 *
 * @param freedom degrees of freedom of the error
 */
record Blocks(double mean, double error, double freedom, double least, double most, int count) {
    private static final int[] NUMBERS = {4, 6, 8, 12, 16};

    static Blocks of(double[] values, int count) {
        double sum = 0;
        double least = Double.POSITIVE_INFINITY;
        double most = Double.NEGATIVE_INFINITY;
        for (int i = 0; i < count; i++) {
            sum += values[i];
            least = Math.min(least, values[i]);
            most = Math.max(most, values[i]);
        }
        double mean = sum / count;
        double error = 0;
        double freedom = 3;
        for (int blocks : NUMBERS) {
            if (count < 3 * blocks) break;
            double[] means = new double[blocks];
            for (int b = 0; b < blocks; b++) {
                int from = (int) ((long) count * b / blocks);
                int until = (int) ((long) count * (b + 1) / blocks);
                means[b] = Arrays.stream(values, from, until).average().orElse(mean);
            }
            double centre = Arrays.stream(means).average().orElse(mean);
            double square = Arrays.stream(means).map(m -> (m - centre) * (m - centre)).sum();
            double one = Math.sqrt(square / (blocks - 1) / blocks);
            if (one <= error) continue;
            error = one;
            freedom = blocks - 1;
        }
        return new Blocks(mean, error, freedom, least, most, count);
    }

    /** Standard error of a difference, and its degrees of freedom (B. L. Welch, Biometrika 34, 1947). */
    static double[] together(Blocks a, Blocks b, double system) {
        double va = a.error * a.error;
        double vb = b.error * b.error;
        double vs = system * system;
        double all = va + vb + vs;
        double freedom = all * all / Math.max(va * va / a.freedom + vb * vb / b.freedom, 1e-300);
        return new double[] {Math.sqrt(all), Math.min(1e6, freedom)};
    }
}
