package buswitness.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.Progress;
import org.junit.jupiter.api.Test;

class MapScoresTest {
    /** The figures of analysis-notes/map-scores.md come from here; two buses show that it counts and repeats itself. */
    @Test
    void twoBusesAreScoredAndTheThreadsDoNotMatter() {
        MapScores.Report one = MapScores.run(9, 2, 1, Progress.SILENT, line -> {});
        MapScores.Report two = MapScores.run(9, 2, 2, Progress.SILENT, line -> {});
        assertEquals(one.text(), two.text());
        assertEquals(2, one.buses());
        assertEquals(0, one.failed());
        MapScore score = MapScore.run(900_000, line -> {});
        assertTrue(score.periods.there > 0 && score.periods.precision() > 0.9, one.text());
        assertTrue(score.bounds.there > 0 && score.bounds.precision() > 0.7, one.text());
    }
}
