package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ClockFitTest {
    private static final double PERIOD = 0.1;

    private static MessageFrames train(double[] at) {
        MessageFrames m = new MessageFrames(MessageKey.can(1, false), at.length, 0, true);
        for (int i = 0; i < at.length; i++) {
            m.at[i] = m.earliest[i] = at[i];
            m.free[i] = true;
        }
        return m;
    }

    private static Comb comb(int n) {
        Comb c = new Comb();
        for (int i = 0; i < n; i++) c.add(i, i, true);
        return c;
    }

    /**
     * Error of a straight line over N even points with scatter s: sd = s sqrt(12 / (N (N^2 - 1))), handbook formula for
     * least squares; 1e6 sqrt(12) s / (T N^1.5) in ppm. The scatter of many fits and the error each one states agree.
     */
    @ParameterizedTest
    @CsvSource({"400, 23e-6", "80, 23e-6", "200, 1e-3"})
    void statedErrorIsTheLeastSquaresFormula(int n, double s) {
        SplittableRandom random = new SplittableRandom(n);
        double formula = s * Math.sqrt(12.0 / (n * ((double) n * n - 1)));
        double square = 0;
        double stated = 0;
        int fits = 300;
        for (int f = 0; f < fits; f++) {
            double[] at = new double[n];
            for (int i = 0; i < n; i++) at[i] = PERIOD * i + s * FrameLogs.gaussian(random);
            ClockFit fit = ClockFit.of(train(at), comb(n), 0);
            square += (fit.period() - PERIOD) * (fit.period() - PERIOD) / fits;
            stated += fit.periodError() / fits;
        }
        assertEquals(formula, Math.sqrt(square), 0.15 * formula, "scatter of the fits, 4 % from 300 of them");
        assertTrue(stated > 0.9 * formula && stated < 1.8 * formula, "stated " + stated + ", formula " + formula);
    }

    /**
     * Over one window the end-to-end slope (T = (a_N - a_0) / N, as NTP-style estimators take it) is unbiased like
     * least squares and noisier: sqrt(2) s / N against sqrt(12) s / N^1.5.
     */
    @Test
    void endToEndSlopeAgreesAndIsNoisier() {
        SplittableRandom random = new SplittableRandom(5);
        int n = 300;
        double s = 1e-3;
        double mean = 0;
        double ends = 0;
        double fits = 0;
        for (int f = 0; f < 200; f++) {
            double[] at = new double[n];
            for (int i = 0; i < n; i++) at[i] = PERIOD * i + s * FrameLogs.gaussian(random);
            double slope = (at[n - 1] - at[0]) / (n - 1);
            double fit = ClockFit.of(train(at), comb(n), 0).period();
            mean += (slope - fit) / 200;
            ends += (slope - PERIOD) * (slope - PERIOD);
            fits += (fit - PERIOD) * (fit - PERIOD);
        }
        assertEquals(0, mean, 4 * Math.sqrt(2) * s / n / Math.sqrt(200));
        assertEquals(Math.sqrt(n / 6.0), Math.sqrt(ends / fits), 1.2, "ratio of the two formulas");
    }

    /** With 5 ppm of wander the white-noise formula is far too sure; the stated error covers the truth. */
    @Test
    void wanderFloorCoversTheTruth() {
        int covered = 0;
        int formulaCovers = 0;
        for (int seed = 0; seed < 60; seed++) {
            FrameLogs bus = new FrameLogs(125_000, 120, seed);
            bus.node(42, 5, 80e-6).every(0x1D0, PERIOD, 0.013, Payloads.constant(1, 2));
            FrameLogs.Made made = bus.make();
            Track t = Senders.find(made.log(), made.bus(), made.gaps(), null).tracks().get(0);
            double off = Math.abs(t.clockPpm() - 42);
            if (off < 3 * t.clockPpmError()) covered++;
            double formula = 1e6 * Math.sqrt(12) * t.jitterSeconds() / (PERIOD * Math.pow(t.frames(), 1.5));
            if (off < 3 * formula) formulaCovers++;
        }
        assertTrue(covered >= 48, covered + " of 60 within three stated errors");
        assertTrue(formulaCovers <= 15, formulaCovers + " of 60 within three white-noise errors: the floor matters");
    }

    @ParameterizedTest
    @CsvSource({"0.1000042, 0.1", "0.0199993, 0.02", "0.02500017, 0.025", "0.0600018, 0.06", "0.149995, 0.15",
        "0.6400011, 0.64", "0.9996, 1.0", "0.0999, 0.1"})
    void nominalIsTheNearestRoundNumber(double period, double nominal) {
        assertEquals(nominal, Nominal.of(period, Double.NaN), 1e-12);
    }

    @Test
    void nominalComesFromTheLayoutWithinHalfAPerCentAndElseNotAtAll() {
        assertEquals(0.1003, Nominal.of(0.1001, 0.1003), 0);
        assertEquals(0.1, Nominal.of(0.1001, 0.2), 1e-12);
        assertTrue(Double.isNaN(Nominal.of(0.10196, Double.NaN)), "102 ms is no round number");
    }
}
