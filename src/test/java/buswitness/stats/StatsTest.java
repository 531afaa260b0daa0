package buswitness.stats;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.SplittableRandom;
import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.stat.descriptive.rank.Percentile;
import org.hipparchus.stat.regression.SimpleRegression;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Own statistics against a general reference library (Hipparchus) and worked examples. */
class StatsTest {
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 10, 11, 1000, 1001})
    void medianAgreesWithTheReferenceLibrary(int n) {
        SplittableRandom random = new SplittableRandom(n);
        double[] v = new double[n];
        for (int i = 0; i < n; i++) v[i] = random.nextInt(n) * 0.5;
        assertEquals(new Percentile().evaluate(v, 50), Robust.median(v), 1e-12);
    }

    @Test
    void spreadOfNormalNoiseIsItsStandardDeviationDespiteWildValues() {
        SplittableRandom random = new SplittableRandom(1);
        double[] v = new double[20_000];
        for (int i = 0; i < v.length; i++) {
            double u = 1 - random.nextDouble();
            v[i] = i % 20 == 0 ? 1e6 : 3 * Math.sqrt(-2 * Math.log(u)) * Math.cos(2 * Math.PI * random.nextDouble());
        }
        assertEquals(3, Robust.spread(v), 0.3);
    }

    @Test
    void lineAgreesWithTheReferenceLibrary() {
        SplittableRandom random = new SplittableRandom(2);
        SimpleRegression reference = new SimpleRegression();
        double[] x = new double[50];
        double[] y = new double[50];
        for (int i = 0; i < 50; i++) {
            x[i] = i * 1.7;
            y[i] = 3 + 0.25 * x[i] + random.nextDouble();
            reference.addData(x[i], y[i]);
        }
        LineFit fit = LineFit.leastSquares(x, y, 50);
        assertEquals(reference.getSlope(), fit.slope(), 1e-12);
        assertEquals(reference.getIntercept(), fit.at(0), 1e-9);
        assertEquals(reference.getSlopeStdErr(), fit.slopeError(), 1e-12);
        assertEquals(Math.sqrt(reference.getMeanSquareError()), fit.residual(), 1e-9);
    }

    @Test
    void robustLinesIgnoreAFifthOfWildPoints() {
        SplittableRandom random = new SplittableRandom(3);
        double[] x = new double[100];
        double[] y = new double[100];
        for (int i = 0; i < 100; i++) {
            x[i] = i;
            y[i] = 2 * i + random.nextDouble() + (i % 5 == 2 ? 300 : 0);
        }
        assertEquals(2, LineFit.robust(x, y, 100).slope(), 0.01);
        assertEquals(2, LineFit.theilSen(x, y, 100), 0.01);
        assertTrue(Math.abs(LineFit.leastSquares(x, y, 80).at(0)) > 10, "plain least squares is pulled");
    }

    /** E. B. Wilson's interval as tabled by R. G. Newcombe, Statistics in Medicine 17 (1998), table I: 81 of 263. */
    @Test
    void wilsonInterval() {
        Interval i = Interval.wilson(81, 263, 1.959964);
        assertEquals(0.2553, i.low(), 5e-5);
        assertEquals(0.3662, i.high(), 5e-5);
        assertEquals(0.1611, Interval.wilson(0, 20, 1.959964).high(), 5e-5, "same table: 0 of 20");
        assertThrows(IllegalArgumentException.class, () -> Interval.wilson(3, 2, 1));
    }

    @Test
    void normalProbabilitiesAgreeWithTheReferenceLibraryAndKeepTheirTails() {
        NormalDistribution normal = new NormalDistribution();
        for (double a = -4; a < 4; a += 0.37) {
            assertEquals(normal.probability(a, a + 0.5), Normal.between(a, a + 0.5), 1e-12);
        }
        assertTrue(Normal.between(20, 21) > 0, "no cancellation far out");
        assertEquals(Normal.between(-21, -20), Normal.between(20, 21), 1e-100);
    }
}
