package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.io.IOException;
import java.nio.file.Path;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Lamps and lines: lit, blinking, out in time, one line after another. */
class SwitchJudgeTest {
    private static final DoubleUnaryOperator NO = t -> 0;

    @TempDir
    Path folder;

    private static DoubleUnaryOperator blink(double period, double share) {
        return t -> t / period % 1 < share ? 1 : 0;
    }

    private Judgement one(Scene scene, String entry) throws IOException {
        return scene.judge(folder, entry).get(0);
    }

    @Test
    void litThroughout() throws IOException {
        assertEquals(Outcome.PASS, one(new Scene(8).panel().state(t -> 20, t -> 1, NO), "{lamp: oil lamp, is: lit}").outcome());
        Judgement fails = one(new Scene(8).panel().state(t -> 20, t -> t < 5 ? 1 : 0, NO), "{lamp: oil lamp, is: lit}");
        assertEquals(Outcome.FAIL, fails.outcome());
        assertEquals(5, fails.fromSeconds(), 0.15);
        assertEquals(Outcome.UNDECIDED, one(new Scene(8).panel().gap(2, 6).state(t -> 20, t -> 1, NO),
                "{lamp: oil lamp, is: lit}").outcome());
        // The lamp's own time-out lights it while nothing is sent: that is what the driver sees.
        assertEquals(Outcome.PASS, new Scene(12).panel().alive(0, 2).state(t -> 20, NO, NO).judge(folder, "{from: 6 s}",
                "{lamp: oil lamp, is: lit}").get(0).outcome());
        assertEquals(Outcome.PASS, one(new Scene(8).panel().state(t -> 20, NO, NO), "{lamp: oil lamp, is: dark}").outcome());
    }

    @Test
    void goesOutWithinATime() throws IOException {
        Scene scene = new Scene(12).panel().state(t -> 20, t -> t < 6 ? 1 : 0, NO).mark(4, "engine runs");
        String window = "{from: mark engine runs, marks good to: 50 ms}";
        Judgement passes = scene.judge(folder, window, "{lamp: oil lamp, goes out within: 3 s}").get(0);
        assertEquals(Outcome.PASS, passes.outcome());
        assertEquals(2, passes.measured(), 0.12);
        assertEquals(Outcome.FAIL, scene.judge(folder, window, "{lamp: oil lamp, goes out within: 1.5 s}").get(0).outcome());
        assertEquals(Outcome.UNDECIDED, scene.judge(folder, window, "{lamp: oil lamp, goes out within: 2 s}").get(0).outcome());
        // A hand at the key is good to a fifth of a second: 2.3 s are then too near to 2 s, though a machine's mark is not.
        assertEquals(Outcome.UNDECIDED, scene.judge(folder, "{from: mark engine runs}",
                "{lamp: oil lamp, goes out within: 1.8 s}").get(0).outcome());
        assertEquals(Outcome.UNDECIDED, scene.judge(folder, "{from: 7 s}", "{lamp: oil lamp, goes out within: 3 s}").get(0)
                .outcome(), "it was out from the beginning");
        Scene never = new Scene(12).panel().state(t -> 20, t -> 1, NO);
        assertEquals(Outcome.FAIL, one(never, "{lamp: oil lamp, goes out within: 3 s}").outcome());
        assertEquals(Outcome.UNDECIDED, one(never, "{lamp: oil lamp, goes out within: 30 s}").outcome(), "recorded too short");
        Scene again = new Scene(12).panel().state(t -> 20, t -> t < 2 || t > 9 ? 1 : 0, NO);
        assertEquals(Outcome.FAIL, one(again, "{lamp: oil lamp, goes out within: 3 s}").outcome(), "it came back on");
        assertEquals(Outcome.PASS, one(new Scene(12).panel().state(t -> 20, t -> t < 2 ? 0 : 1, NO),
                "{signal: oil low, comes on within: 3 s}").outcome());
    }

    /** The sender falls off the bus after its last word: whatever stays so then, nobody says so. */
    @Test
    void whatStaysSoForWantOfWordIsUndecided() throws IOException {
        Scene dies = new Scene(20).panel().alive(0, 4).state(t -> 20, NO, t -> t < 2 ? 1 : 0);
        Judgement lamp = one(dies, "{lamp: turn lamp, goes out within: 3 s}");
        assertEquals(Outcome.UNDECIDED, lamp.outcome(), lamp.says());
        assertTrue(lamp.says().contains("nothing was sent, so it stayed so for want of word"), lamp.says());
        assertEquals(Outcome.UNDECIDED, one(dies, "{signal: left turn, goes out within: 3 s}").outcome());
        Scene sleeps = new Scene(20).panelUntil(4).alive(0, 4).state(t -> 20, NO, t -> t < 2 ? 1 : 0);
        assertEquals(Outcome.PASS, one(sleeps, "{lamp: turn lamp, goes out within: 3 s}").outcome(), "the bus sleeps");
    }

    @Test
    void aMissingMarkIsAFaultThatListsTheMarks() {
        InputFault fault = assertThrows(InputFault.class, () -> new Scene(5).panel().mark(1, "key on").judge(folder,
                "{from: mark engine runs}", "{lamp: oil lamp, is: lit}"));
        assertEquals("has no mark 'engine runs'", fault.what());
        assertEquals("its marks are: key on", fault.toDo());
    }

    @Test
    void blinksAtTheRateOfUnRegulation48() throws IOException {
        // UN R48, 6.5.8: 90 +- 30 flashes a minute.
        String rule = "{lamp: turn lamp, blinks: 60..120 per min, lit for: 30..75 %}";
        Judgement ninety = one(new Scene(20).panel().state(t -> 20, NO, blink(60 / 90.0, 0.5)), rule);
        assertEquals(Outcome.PASS, ninety.outcome());
        assertEquals(90, ninety.measured(), 0.6);
        assertTrue(ninety.uncertainty() > 0 && ninety.uncertainty() < 1, ninety.toString());
        assertEquals(Outcome.FAIL, one(new Scene(20).panel().state(t -> 20, NO, blink(60 / 130.0, 0.5)), rule).outcome());
        assertEquals(Outcome.FAIL, one(new Scene(20).panel().state(t -> 20, NO, blink(60 / 50.0, 0.5)), rule).outcome());
        assertEquals(Outcome.UNDECIDED, one(new Scene(20).panel().state(t -> 20, NO, blink(60 / 120.0, 0.5)), rule).outcome());
        assertEquals(Outcome.UNDECIDED, new Scene(20).panel().state(t -> 20, NO, blink(60 / 90.0, 0.5))
                .judge(folder, "{for: 2 s}", rule).get(0).outcome(), "three periods are too few");
        assertEquals(Outcome.FAIL, one(new Scene(20).panel().state(t -> 20, NO, NO), rule).outcome());
        assertEquals(Outcome.FAIL, one(new Scene(20).panel().state(t -> 20, NO, blink(60 / 90.0, 0.88)), rule).outcome(),
                "lit for too long");
        DoubleUnaryOperator uneven = t -> t % 4 < 0.4 || t % 4 > 1 && t % 4 < 1.3 || t % 4 > 1.7 && t % 4 < 2 ? 1 : 0;
        assertEquals(Outcome.FAIL, one(new Scene(20).panel().state(t -> 20, NO, uneven), rule).outcome());
    }

    @Test
    void oneLineFollowsAnother() throws IOException {
        Scene pump = new Scene(10).line("starter", 1, 4).line("pump", 1.25, 4.25);
        Judgement late = one(pump, "{line: pump, follows: starter, delay: 200..300 ms}");
        assertEquals(Outcome.PASS, late.outcome());
        assertEquals(0.25, late.measured(), 1e-9);
        assertEquals("in 2 changes it came 250\u00A0ms each time after starter", late.says());
        // Two delays of 240 and 250 ms: standard deviation 7.07 ms, of their mean 5 ms.
        Judgement uneven = one(new Scene(10).line("starter", 1, 4).line("pump", 1.24, 4.25),
                "{line: pump, follows: starter, delay: 200..300 ms}");
        assertEquals("in 2 changes it came 240\u00A0ms to 250\u00A0ms after starter", uneven.says());
        assertEquals(0.005, uneven.uncertainty(), 1e-4);
        assertEquals(Outcome.FAIL, one(pump, "{line: pump, follows: starter, delay: 0..100 ms}").outcome());
        Judgement alone = one(new Scene(10).line("starter", 4, 6).line("pump", 1, 2, 4.25, 6.25),
                "{line: pump, follows: starter, delay: 200..300 ms}");
        assertEquals(Outcome.UNDECIDED, alone.outcome(), "it acts before its cause");
        assertEquals(Outcome.FAIL, one(new Scene(10).line("starter", 4, 6).line("pump", 4.25, 6.25, 8, 9),
                "{line: pump, follows: starter, delay: 200..300 ms}").outcome(), "it acts without a cause");
        assertTrue(alone.says().contains("2 changes of it no change of starter explains, first at 1"), alone.says());
        assertEquals(Outcome.PASS, one(new Scene(10).line("starter", 4, 6).line("pump", 0.1, 0.15, 4.25, 6.25, 6.252, 6.254),
                "{line: pump, follows: starter, delay: 200..300 ms}").outcome(), "the window cut off its cause, and it bounces");
        assertEquals(Outcome.UNDECIDED, one(pump, "{line: pump, follows: starter, delay: 0..250 ms}").outcome(),
                "within the tick of the limit");
        assertEquals(Outcome.FAIL, one(new Scene(10).line("starter", 1, 4).line("pump"),
                "{line: pump, follows: starter, delay: 0..300 ms}").outcome());
        assertEquals(Outcome.UNDECIDED, one(new Scene(10).line("starter").line("pump", 2),
                "{line: pump, follows: starter, delay: 0..300 ms}").outcome());
        Scene inverted = new Scene(10).line("starter", 1, 4).line("pump", 0.5, 1.1, 4.1);
        assertEquals(Outcome.PASS, inverted.judge(folder, "{from: 0.7 s}",
                "{line: pump, follows: starter, inverted: true, delay: 50..150 ms}").get(0).outcome());
        // A contact bounces: only the first touch counts.
        Scene bouncing = new Scene(10).line("starter", 1, 1.0004, 1.0008, 4, 4.0003, 4.0006).line("pump", 1.25, 4.25);
        assertEquals(Outcome.PASS, one(bouncing, "{line: pump, follows: starter, delay: 200..300 ms}").outcome());
        assertEquals(Outcome.UNDECIDED, one(pump.lineGap("pump", 2, 3), "{line: pump, follows: starter, delay: 200..300 ms}")
                .outcome());
    }

    @Test
    void ratioOfTwoPulseLines() throws IOException {
        Scene halved = new Scene(10).pulses("in", 84.934, 0, 10);
        Scene out = halved.pulses("out", 42.467, 0.003, 10);
        Judgement half = one(out, "{line: out, follows: in, ratio: 0.5, tolerance: 0.1 %}");
        assertEquals(Outcome.PASS, half.outcome());
        assertEquals(0.5, half.measured(), 1e-5);
        assertEquals(Outcome.FAIL, one(out, "{line: out, follows: in, ratio: 0.51, tolerance: 1 %}").outcome());
        assertEquals(Outcome.UNDECIDED, one(new Scene(10).line("in").line("out"), "{line: out, follows: in, ratio: 0.5}").outcome());
        assertEquals(Outcome.FAIL, one(new Scene(10).pulses("in", 80, 0, 10).line("out"), "{line: out, follows: in, ratio: 0.5}")
                .outcome());
    }
}
