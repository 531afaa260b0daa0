package buswitness.instruments;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the closed solution of a first-order lag, 1 - exp(-t / tau) (handbook table: 0.632, 0.865, 0.950, 0.993). */
class NeedleMotionTest {
    @ParameterizedTest
    @CsvSource({"1,0.6321", "2,0.8647", "3,0.9502", "5,0.9933"})
    void stepResponseOfAFirstOrderLag(int timeConstants, double covered) {
        double settles = 0.9;
        NeedleMotion needle = new NeedleMotion(settles, Double.NaN);
        needle.tell(0, 0);
        assertEquals(0, needle.tell(1, 1), 1e-12, "still there just before the step");
        assertEquals(covered, needle.advance(1 + timeConstants * settles / 3), 5e-5);
    }

    @Test
    void theAnswerDoesNotDependOnTheStepWidth() {
        NeedleMotion coarse = new NeedleMotion(0.8, 0.9);
        NeedleMotion fine = new NeedleMotion(0.8, 0.9);
        for (NeedleMotion n : new NeedleMotion[] {coarse, fine}) {
            n.tell(0, 0.1);
            n.tell(0.5, 0.9);
        }
        for (double t = 0.5; t < 2; t += 0.001) fine.advance(t);
        assertEquals(coarse.advance(2), fine.advance(2), 1e-9);
    }

    @Test
    void itNeverTravelsFasterThanItsMovement() {
        NeedleMotion needle = new NeedleMotion(0.3, 0.5);
        needle.tell(0, 0);
        needle.tell(1, 1);
        double before = 0;
        for (int i = 1; i < 400; i++) {
            double now = needle.advance(1 + i * 0.01);
            assertTrue(now - before <= 0.5 * 0.01 + 1e-12, "moved " + (now - before) + " in 10 ms");
            before = now;
        }
        assertEquals(1, before, 1e-3);
        NeedleMotion limited = new NeedleMotion(0, 0.5);
        limited.tell(0, 0);
        limited.tell(1, 1);
        assertEquals(0.25, limited.advance(1.5), 1e-12, "no lag: straight at the limit");
        assertEquals(1, limited.advance(3.1), 1e-12);
    }

    @Test
    void whatIsLostStaysUnknownUntilTold() {
        NeedleMotion needle = new NeedleMotion(1, Double.NaN);
        assertTrue(Double.isNaN(needle.advance(3)));
        needle.tell(4, 0.5);
        needle.lose();
        assertTrue(Double.isNaN(needle.advance(5)));
        assertEquals(0.8, needle.tell(6, 0.8), 1e-12, "starts at its first known target");
    }
}
