package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.Payloads;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** What the wire could tell at the recorder's tick, and which tick would do. */
class WireReachTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);

    /** Two nodes so far apart with the same edges; starts and edges seen with the same tick. */
    private static Evidence wire(double tick, double ppm) {
        FrameLogs bus = new FrameLogs(125_000, 40, 3);
        bus.tick(tick).wire(tick);
        FrameLogs.Node a = bus.node(ppm / 2).every(ID, 0.1, 0.0132, Payloads.constant(0xC8, 1, 2, 3, 4, 5, 6, 7));
        FrameLogs.Node b = bus.node(-ppm / 2).every(ID, 0.1, 0.0409, Payloads.constant(0x28, 1, 2, 3, 4, 5, 6, 7));
        a.every(0x120, 0.05, 0.031, Payloads.slow(8, 7, 2, true));
        b.every(0x121, 0.05, 0.044, Payloads.slow(8, 7, 2, true));
        Made made = bus.make();
        return ClashesTest.judge(made).message(KEY).evidence().stream().filter(e -> e.kind() == Evidence.Kind.WIRE)
                .findFirst().orElse(null);
    }

    private static Map<String, Double> figures(Evidence evidence) {
        return evidence.figures().stream().collect(Collectors.toMap(Evidence.Figure::name, Evidence.Figure::value));
    }

    /**
     * By hand, as FrameLogs makes it: 98 bits and 32 edges give a frame tick / sqrt(12) * sqrt(12 / 32) / 0.784 ms, at 10 us
     * 2,255 ppm; 400 and 400 frames together sqrt(2 / 400) of it, 159 ppm. Clocks 260 ppm apart are six standard errors at
     * 43 ppm, so at 10 us * 43 / 159 = 2.7 us for the schedules, and at 10 us * 43 / 2255 = 192 ns for single frames.
     */
    @Test
    void saysWhichTickWouldDo() {
        Evidence silent = wire(10e-6, 260);
        assertEquals(0, silent.strength(), silent.says());
        Map<String, Double> figures = figures(silent);
        assertEquals(1e-5, figures.get("tick_s"), 1e-12);
        assertEquals(2255, figures.get("frame_error_ppm"), 10);
        assertEquals(159, figures.get("schedules_error_ppm"), 16);
        assertEquals(260, figures.get("clocks_apart_ppm"), 3);
        assertEquals(2e-6, figures.get("tick_needed_for_schedules_s"), 1e-12);
        assertEquals(1e-7, figures.get("tick_needed_for_frames_s"), 1e-13);
        assertTrue(silent.says().contains("A tick of 2 µs would do to compare the schedules, one of 100 ns"), silent.says());
    }

    /** Twin: at the tick that it asks for the schedules do differ, and at the finer one single frames do. */
    @Test
    void theTickItAsksForDoes() {
        Evidence means = wire(2e-6, 200);
        assertTrue(means.strength() >= Strength.STRONG, means.says());
        assertTrue(means.says().contains("Only the means of many frames tell it"), means.says());
        assertEquals(1e-7, figures(means).get("tick_needed_for_frames_s"), 1e-13);
        Evidence single = wire(1e-7, 200);
        assertTrue(single.says().contains("single frames tell it, too"), single.says());
    }

    /** Clocks 8 ppm apart lie within what messages of one node differ by: no tick shows that in the bit lengths. */
    @Test
    void saysWhereNoTickWouldDo() {
        Evidence silent = wire(1e-6, 8);
        assertEquals(0, silent.strength(), silent.says());
        assertTrue(silent.says().contains("no tick would show that"), silent.says());
        assertTrue(Double.isNaN(figures(silent).get("tick_needed_for_schedules_s")));
    }

    @Test
    void framesWithoutBitTimesSayNothing() {
        Evidence none = ClashesTest.judge(Scenes.clashing().get("two clocks 73 ppm apart").apply(1)).message(KEY).evidence()
                .stream().filter(e -> e.kind() == Evidence.Kind.WIRE).findFirst().orElse(null);
        assertNull(none);
    }

    @Test
    void ticksAreRoundAndNeverCoarser() {
        assertEquals(5, WireReach.round(9.9), 1e-12);
        assertEquals(100, WireReach.round(100), 1e-9);
        assertEquals(0.2, WireReach.round(0.31), 1e-12);
    }
}
