package buswitness.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.Progress;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The calibration over buses other than CAN, and buses on which it once found somebody accused wrongly. */
class SlowBusesTest {
    private static final Layout CABIN = Layouts.load(Path.of("captures/cabin-line.layout.yaml"));

    /** A wrong check on a noisy reading, taken for two payloads laid one over the other. */
    @Test
    void aWrongCheckIsNoSuperposition() {
        assertEquals(List.of(), SlowTrial.run(CABIN.format(), CABIN, 11_000_006L).accused());
    }

    /** A clock that wanders by hundreds of ppm, against itself a little later. */
    @Test
    void aWanderingClockIsNoSecondTransmitter() {
        assertEquals(List.of(), SlowTrial.run(BusFormats.builtIn("j1850-vpw"), null, 11_000_018L).accused());
    }

    /**
     * On a full bus frames wait and no schedule shows. Clocks 2,513, 32 and 26 ppm apart: in the first and the third the
     * wire parts the frames, in the second it merely scatters.
     */
    @Test
    void aFullBusAcquitsNobodyWhoseBitsDiffer() {
        assertEquals(Outcome.Judged.UNDECIDED, SlowTrial.run(BusFormats.builtIn("iso9141"), null, 21_000_021L).judged());
        assertEquals(Outcome.Judged.UNDECIDED, SlowTrial.run(BusFormats.builtIn("iso14230"), null, 21_000_017L).judged());
        assertEquals(Outcome.Judged.UNDECIDED, SlowTrial.run(BusFormats.builtIn("iso9141"), null, 21_000_077L).judged());
    }

    /** Once without an end: a frame that began before the recording. */
    @Test
    void pulseWidthComesToAnEnd() {
        assertEquals("j1850-pwm", SlowTrial.run(BusFormats.builtIn("j1850-pwm"), null, 21_000_019L).recognised());
    }

    @Test
    void theReportCountsEveryBusAndRepeatsItself() {
        CalibrationPlan plan = new CalibrationPlan(3, 1, 1, 20_000, Double.POSITIVE_INFINITY);
        SlowBuses.Report one = SlowBuses.run(plan, List.of("lin"), List.of(CABIN), Progress.SILENT, line -> { });
        SlowBuses.Report again = SlowBuses.run(new CalibrationPlan(3, 1, 3, 20_000, Double.POSITIVE_INFINITY), List.of("lin"),
                List.of(CABIN), Progress.SILENT, line -> { });
        assertEquals(4, one.run());
        assertEquals(one.text(), again.text());
        assertEquals(one.buses(), again.buses());
        assertEquals(5, one.buses().split("\r\n").length);
        assertTrue(one.text().contains("| LIN | 1 | 0 of 2 (below 77.6 %) |"), one.text());
        IllegalArgumentException can = assertThrows(IllegalArgumentException.class,
                () -> SlowBuses.run(plan, List.of("can"), List.of(), Progress.SILENT, line -> { }));
        assertTrue(can.getMessage().contains("can"));
    }
}
