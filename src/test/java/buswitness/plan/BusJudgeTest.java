package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Messages and the bus as a whole. */
class BusJudgeTest {
    private static final DoubleUnaryOperator NO = t -> 0;

    @TempDir
    Path folder;

    private Judgement one(Scene scene, String entry) throws IOException {
        return scene.judge(folder, entry).get(0);
    }

    private static Scene healthy(double seconds) {
        return new Scene(seconds).panel().state(t -> 87, NO, NO);
    }

    @Test
    void comesAtItsPeriod() throws IOException {
        Judgement good = one(healthy(20), "{message: state, every: 100 ms, tolerance: 1 %}");
        assertEquals(Outcome.PASS, good.outcome());
        // The scene's clock is 38 ppm slow.
        assertEquals(100 * (1 + 38e-6), good.measured(), 3 * good.uncertainty());
        assertTrue(good.uncertainty() < 0.01, good.toString());
        assertEquals(Outcome.FAIL, one(healthy(20), "{message: 0x1D0, every: 200 ms}").outcome());
        assertEquals(Outcome.FAIL, one(new Scene(20).panel(), "{message: state, every: 100 ms}").outcome());
        assertEquals(Outcome.UNDECIDED, one(new Scene(0.5).panel(), "{message: state, every: 100 ms}").outcome());
        assertEquals(Outcome.FAIL, one(new Scene(20).panel().alive(0, 8).state(t -> 87, NO, NO).alive(9, 20)
                .state(t -> 87, NO, NO), "{message: state, every: 100 ms, longest pause: 0.5 s}").outcome());
        double tolerance = 38e-6 * 100;
        assertEquals(Outcome.UNDECIDED, one(healthy(6), "{message: state, every: 100 ms, tolerance: " + String.format(
                java.util.Locale.ROOT, "%.6f", tolerance) + " %}").outcome());
    }

    /** A mean period of what came says nothing of what did not: 80 of 200 came, at their period. */
    @Test
    void aMessageThatStopsIsNotInTime() throws IOException {
        Judgement stops = one(new Scene(20).panel().alive(0, 8).state(t -> 87, NO, NO), "{message: state, every: 100 ms}");
        assertEquals(Outcome.FAIL, stops.outcome(), stops.says());
        assertTrue(stops.says().contains("120 missing, longest pause 12.06"), stops.says());
        Judgement late = one(new Scene(20).panel().alive(8, 20).state(t -> 87, NO, NO), "{message: state, every: 100 ms}");
        assertEquals(Outcome.FAIL, late.outcome(), late.says());
        Judgement torn = one(new Scene(20).panel().alive(0, 6).state(t -> 87, NO, NO).alive(12, 20).state(t -> 87, NO, NO),
                "{message: state, every: 100 ms}");
        assertEquals(Outcome.FAIL, torn.outcome(), torn.says());
        assertTrue(torn.says().contains("% of those due, while others were heard"), torn.says());
        // All asleep from 8 s on: nothing was due.
        Judgement asleep = one(new Scene(20).panelUntil(8).alive(0, 8).state(t -> 87, NO, NO), "{message: state, every: 100 ms}");
        assertEquals(Outcome.PASS, asleep.outcome(), asleep.says());
    }

    @Test
    void hasOneSender() throws IOException {
        assertEquals(Outcome.PASS, one(healthy(40), "{message: state, senders: one}").outcome());
        assertEquals(Outcome.PASS, one(healthy(40), "{bus: one sender each}").outcome());
        Scene two = healthy(40).secondState(-40);
        Judgement clash = one(two, "{message: state, senders: one}");
        assertEquals(Outcome.FAIL, clash.outcome());
        assertEquals(2, clash.measured());
        assertEquals(Outcome.FAIL, one(two, "{bus: one sender each}").outcome());
        assertEquals(Outcome.UNDECIDED, one(new Scene(40).panel(), "{message: state, senders: one}").outcome(), "never sent");
    }

    /** The second sender speaks from 40 s on: what a step says holds for its window and no more. */
    @Test
    void aClashOutsideTheWindowIsNotTheSteps() throws IOException {
        Scene late = healthy(80).engineAlive(40, 80).secondState(-40);
        Judgement before = late.judge(folder, "{until: 38 s}", "{message: state, senders: one}").get(0);
        assertEquals(Outcome.PASS, before.outcome(), before.says());
        assertTrue(before.says().contains("outside this time the recording has two senders of state (0x1D0)"), before.says());
        assertEquals(38, before.untilSeconds(), 1e-9);
        Judgement after = late.judge(folder, "{from: 45 s}", "{message: state, senders: one}").get(0);
        assertEquals(Outcome.FAIL, after.outcome(), after.says());
        assertEquals(45, after.fromSeconds(), 1e-9);
        assertEquals(Outcome.UNDECIDED, late.judge(folder, "{from: 45 s, for: 0.05 s}", "{message: state, senders: one}").get(0)
                .outcome(), "too short a window");
        assertEquals(Outcome.PASS, late.judge(folder, "{until: 38 s}", "{bus: nothing flaps}").get(0).outcome());
        Judgement flaps = late.judge(folder, "{from: 45 s}", "{bus: nothing flaps}").get(0);
        assertEquals(Outcome.FAIL, flaps.outcome());
        assertTrue(flaps.says().contains("in 34.9 s"), flaps.says());
    }

    @Test
    void aNeedleAtItsStopIsNotCalmWhereTwoDisagree() throws IOException {
        Scene cold = new Scene(40).panel().state(t -> 20, NO, NO).secondState(-40);
        Judgement j = one(cold, "{gauge: coolant gauge, flaps: never}");
        assertEquals(Outcome.UNDECIDED, j.outcome());
        assertTrue(j.says().contains("rests at its stop although two senders disagree"), j.says());
    }

    @Test
    void noDamagedFrames() throws IOException {
        Judgement none = one(healthy(20), "{bus: no damaged frames}");
        assertEquals(Outcome.PASS, none.outcome());
        assertTrue(none.says().contains("fewer than 9 a minute"), none.says());
        Judgement some = one(healthy(20).damaged(3, 5, 6), "{bus: no damaged frames}");
        assertEquals(Outcome.FAIL, some.outcome());
        assertEquals(3, some.measured());
        assertEquals(5, some.fromSeconds(), 1e-6);
        assertEquals(Outcome.PASS, healthy(20).damaged(3, 5, 6).judge(folder, "{from: 7 s}", "{bus: no damaged frames}").get(0)
                .outcome());
        assertEquals(Outcome.UNDECIDED, one(healthy(20).gap(4, 5), "{bus: no damaged frames}").outcome());
    }

    @Test
    void nothingFlaps() throws IOException {
        assertEquals(Outcome.PASS, one(healthy(40), "{bus: nothing flaps}").outcome());
        assertEquals(Outcome.FAIL, one(healthy(40).secondState(-40), "{bus: nothing flaps}").outcome());
        assertEquals(Outcome.FAIL, one(healthy(40).secondState(-40), "{gauge: coolant gauge, flaps: never}").outcome());
        assertEquals(Outcome.UNDECIDED, one(new Scene(40).panel(), "{gauge: coolant gauge, flaps: never}").outcome());
        // Calm for half of the time, and then nobody speaks: that is no calm bus.
        Judgement dies = one(new Scene(40).panel().alive(0, 20).state(t -> 87, NO, NO), "{bus: nothing flaps}");
        assertEquals(Outcome.UNDECIDED, dies.outcome(), dies.says());
        assertTrue(dies.says().startsWith("not told anything for part of this time"), dies.says());
    }

    @Test
    void nothingRestarts() throws IOException {
        assertEquals(Outcome.PASS, one(healthy(20).shown(NO, NO), "{bus: nothing restarts}").outcome());
        Scene dip = new Scene(20).panel().alive(0, 9).state(t -> 87, NO, NO).shown(NO, NO).alive(9.8, 20)
                .state(t -> 87, NO, NO).shown(NO, NO);
        Judgement away = one(dip, "{bus: nothing restarts}");
        assertEquals(Outcome.FAIL, away.outcome());
        assertTrue(away.says().contains("translator stayed away"), away.says());
        assertEquals(8.97, away.fromSeconds(), 0.1);
        // Only one of its messages stays away: no restart.
        Scene quiet = new Scene(20).panel().shown(NO, NO).alive(0, 9).state(t -> 87, NO, NO);
        assertEquals(Outcome.PASS, one(quiet, "{bus: nothing restarts}").outcome());
        assertEquals(Outcome.UNDECIDED, healthy(20).judge(folder, "{from: 5 s, for: 0.3 s}", "{bus: nothing restarts}").get(0)
                .outcome(), "too short a window");
        assertEquals(Outcome.UNDECIDED, one(healthy(20).gap(9, 9.8), "{bus: nothing restarts}").outcome());
        Scene disturbed = new Scene(20).panel().alive(0, 9).state(t -> 87, NO, NO).alive(9.8, 20).state(t -> 87, NO, NO)
                .damaged(200, 8.9, 9.8);
        assertEquals(Outcome.UNDECIDED, one(disturbed, "{bus: nothing restarts}").outcome(), "nobody could be heard");
    }

    @Test
    void fallsSilentAndStaysSo() throws IOException {
        Scene sleeps = new Scene(60).panelUntil(12).mark(5, "off");
        String window = "{from: mark off}";
        Judgement good = sleeps.judge(folder, window, "{bus: falls silent, within: 10 s, for: 40 s}").get(0);
        assertEquals(Outcome.PASS, good.outcome());
        assertEquals(7, good.measured(), 0.2);
        assertEquals(Outcome.FAIL, sleeps.judge(folder, window, "{bus: falls silent, within: 5 s, for: 40 s}").get(0).outcome());
        assertEquals(Outcome.UNDECIDED, sleeps.judge(folder, window, "{bus: falls silent, within: 10 s, for: 10 min}").get(0)
                .outcome(), "recorded too short");
        assertEquals(Outcome.UNDECIDED, sleeps.judge(folder, window, "{bus: falls silent, within: 7 s, for: 40 s}").get(0)
                .outcome(), "a mark by hand");
        Scene wakes = new Scene(60).panelUntil(12).alive(40, 42).state(t -> 20, NO, NO).mark(5, "off");
        Judgement woken = wakes.judge(folder, window, "{bus: falls silent, within: 10 s, for: 10 s}").get(0);
        assertEquals(Outcome.FAIL, woken.outcome());
        assertTrue(woken.says().contains("woken at 40.0") && woken.says().contains("state (0x1D0)"), woken.says());
        assertEquals(Outcome.UNDECIDED, new Scene(60).panelUntil(12).gap(20, 30).mark(5, "off").judge(folder, window,
                "{bus: falls silent, within: 10 s, for: 40 s}").get(0).outcome());
    }
}
