package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Values of signals: each judgement passes, fails and stays undecided where it should. */
class SignalJudgeTest {
    private static final DoubleUnaryOperator NO = t -> 0;

    @TempDir
    Path folder;

    private static Outcome outcome(List<Judgement> judgements) {
        assertTrue(!judgements.isEmpty());
        return judgements.stream().map(Judgement::outcome).reduce(Outcome.PASS, Outcome::and);
    }

    private Scene steady(double coolant) {
        return new Scene(8).panel().state(t -> coolant, NO, NO);
    }

    @Test
    void equals() throws IOException {
        // SAE J1979 PID 05: coolant = A - 40 degrees C, so byte 127 is 87.
        Judgement exact = steady(87).judge(folder, "{signal: coolant, equals: 87}").get(0);
        assertEquals(Outcome.PASS, exact.outcome());
        assertEquals(87, exact.measured());
        assertEquals(1 / Math.sqrt(12), exact.uncertainty(), 1e-12);
        assertEquals("°C", exact.unit());
        assertEquals(Outcome.FAIL, outcome(steady(90).judge(folder, "{signal: coolant, equals: 87, tolerance: 2}")));
        // One degree away with a tolerance of one: the half step of the bus straddles the limit.
        assertEquals(Outcome.UNDECIDED, outcome(steady(88).judge(folder, "{signal: coolant, equals: 87}")));
        // A single bit has no uncertainty.
        assertEquals(Outcome.PASS, outcome(steady(20).judge(folder, "{signal: oil low, equals: 0}")));
        assertEquals(Outcome.FAIL, outcome(steady(20).judge(folder, "{signal: oil low, equals: 1}")));
    }

    @Test
    void liesBetween() throws IOException {
        assertEquals(Outcome.PASS, outcome(steady(87).judge(folder, "{signal: coolant, between: 80..95}")));
        assertEquals(Outcome.UNDECIDED, outcome(steady(80).judge(folder, "{signal: coolant, between: 80..95}")));
        Scene once = new Scene(8).panel().state(t -> t > 4 && t < 4.15 ? -40 : 87, NO, NO);
        Judgement fails = once.judge(folder, "{signal: coolant, between: 80..95}").get(0);
        assertEquals(Outcome.FAIL, fails.outcome());
        assertEquals(-40, fails.measured());
        assertEquals(4.013, fails.fromSeconds(), 0.02, "the place of the first frame outside");
        // The same frame outside the window does no harm.
        assertEquals(Outcome.PASS, outcome(once.judge(folder, "{until: 3.9 s}", "{signal: coolant, between: 80..95}")));
    }

    @Test
    void whatIsNotSentIsAFailureWhereItWasDueAndElseUndecided() throws IOException {
        assertEquals(Outcome.FAIL, outcome(new Scene(8).panel().judge(folder, "{signal: coolant, between: 80..95}")));
        assertEquals(Outcome.UNDECIDED, outcome(new Scene(8).panel().judge(folder, "{for: 0.2 s}",
                "{signal: coolant, between: 80..95}")), "shorter than three periods");
        assertEquals(Outcome.UNDECIDED, outcome(new Scene(8).panel().alive(0, 4).state(t -> 87, NO, NO)
                .judge(folder, "{signal: coolant, between: 80..95}")), "half of the window without a frame");
        assertEquals(Outcome.UNDECIDED, outcome(steady(87).gap(3, 4).judge(folder, "{signal: coolant, between: 80..95}")));
    }

    @Test
    void risesAndFalls() throws IOException {
        Scene warm = new Scene(20).panel().state(t -> 20 + 1.5 * t, NO, NO);
        Judgement rise = warm.judge(folder, "{signal: coolant, rises by: 20}").get(0);
        assertEquals(Outcome.PASS, rise.outcome());
        assertEquals(30, rise.measured(), 1.5);
        assertEquals(Outcome.FAIL, outcome(warm.judge(folder, "{signal: coolant, rises by: 60}")));
        assertEquals(Outcome.FAIL, outcome(warm.judge(folder, "{signal: coolant, falls by: 5}")));
        // Byte values are whole degrees, so the rise is 29 or so, known to about 1: undecided at 29.
        assertEquals(Outcome.UNDECIDED, outcome(warm.judge(folder, "{signal: coolant, rises by: " + rise.measured() + "}")));
        assertEquals(Outcome.PASS, outcome(new Scene(20).panel().state(t -> 90 - 2 * t, NO, NO)
                .judge(folder, "{signal: coolant, falls by: 30}")));
    }

    @Test
    void followsAnotherSignal() throws IOException {
        DoubleUnaryOperator rpm = t -> 1500 + 700 * Math.sin(t);
        Scene good = new Scene(20).panel().engine(rpm).shown(t -> rpm.applyAsDouble(t - 0.15), NO);
        List<Judgement> two = good.judge(folder, "{signal: speed shown, follows: speed, tolerance: 60, delay at most: 0.3 s}");
        assertEquals(Outcome.PASS, outcome(two));
        assertEquals(0.15, two.get(1).measured(), 0.05, "the delay that was put in");
        assertEquals(Outcome.FAIL, outcome(good.judge(folder,
                "{signal: speed shown, follows: speed, tolerance: 60, delay at most: 50 ms}")));
        Scene wrong = new Scene(20).panel().engine(rpm).shown(t -> 1.2 * rpm.applyAsDouble(t), NO);
        assertEquals(Outcome.FAIL, outcome(wrong.judge(folder, "{signal: speed shown, follows: speed, tolerance: 60}")));
        assertEquals(Outcome.PASS, outcome(wrong.judge(folder,
                "{signal: speed shown, follows: speed, ratio: 1.2, tolerance: 60}")));
        Scene still = new Scene(20).panel().engine(t -> 800).shown(t -> 800, NO);
        assertEquals(Outcome.UNDECIDED, outcome(still.judge(folder, "{signal: speed shown, follows: speed, tolerance: 60}")),
                "what does not move follows nothing");
    }

    @Test
    void speedFromPulses() throws IOException {
        // JIS D 5601 (from memory): 637 turns per km, here 4 pulses a turn: 60 km/h is 2548 / 60 = 42.467 Hz.
        Scene sixty = new Scene(12).panel().shown(NO, t -> 60).pulses("pulses", 2548.0 / 60, 0, 12);
        Judgement km = sixty.judge(folder, "{signal: road speed, counts: pulses, pulses per km: 2548, tolerance: 1 %}").get(0);
        assertEquals(Outcome.PASS, km.outcome());
        assertEquals(2548, km.measured(), 2);
        assertTrue(km.uncertainty() > 0 && km.uncertainty() < 5, km.toString());
        // 4000 pulses a mile (service manuals of clusters of 2000 to 2003) are 2485.5 per km, 2.5 % less.
        Judgement mile = sixty.judge(folder, "{signal: road speed, counts: pulses, pulses per km: 2485.5, tolerance: 1 %}").get(0);
        assertEquals(Outcome.FAIL, mile.outcome());
        assertEquals(2548, mile.measured(), 2, "the figure measured does not depend on the one expected");
        double edge = (mile.measured() / 2485.5 - 1) * 100;
        assertEquals(Outcome.UNDECIDED, outcome(sixty.judge(folder, "{signal: road speed, counts: pulses, pulses per km: 2485.5,"
                + " tolerance: " + edge + " %}")));
        // Two pulses a turn: 3000 rpm is 100 Hz. SAE J1979 PID 0C: 1A F8 is 1726 rpm, a step of 0.25 rpm.
        Scene turns = new Scene(12).panel().shown(t -> 3000, NO).pulses("pulses", 100, 0, 12);
        assertEquals(Outcome.PASS, outcome(turns.judge(folder,
                "{signal: speed shown, counts: pulses, pulses per turn: 2, tolerance: 1 %}")));
        Scene none = new Scene(12).panel().shown(NO, t -> 60).line("pulses");
        assertEquals(Outcome.UNDECIDED, outcome(none.judge(folder,
                "{signal: road speed, counts: pulses, pulses per km: 2548, tolerance: 1 %}")));
        Scene dead = new Scene(12).panel().shown(NO, NO).pulses("pulses", 42.5, 0, 12);
        assertEquals(Outcome.FAIL, outcome(dead.judge(folder,
                "{signal: road speed, counts: pulses, pulses per km: 2548, tolerance: 1 %}")));
    }

    /** Two frames of three are right, and every third says 0: the usual one must not pass for all. */
    @Test
    void aCountThatDropsOutDoesNotPass() throws IOException {
        String entry = "{signal: road speed, counts: pulses, pulses per km: 2548, tolerance: 1 %}";
        Judgement out = new Scene(12).panel().shown(NO, t -> Math.round(t / 0.05) % 3 == 0 ? 0 : 60)
                .pulses("pulses", 2548.0 / 60, 0, 12).judge(folder, entry).get(0);
        assertEquals(Outcome.FAIL, out.outcome(), out.says());
        assertTrue(out.says().contains("frames say something else"), out.says());
        // A translator that takes half a second to follow a step is no such thing, once the pulses are steady.
        List<Double> at = new ArrayList<>();
        for (double t = 0; t < 12; t += 0.5 * 60 / 2548 * (t < 6 ? 1 : 0.5)) at.add(Math.rint(t * 1e6) / 1e6);
        Judgement step = new Scene(12).panel().shown(NO, t -> t < 6.5 ? 60 : 120)
                .line("pulses", at.stream().mapToDouble(Double::doubleValue).toArray()).judge(folder, entry).get(0);
        assertFalse(step.says().contains("something else"), step.says());
    }

    @Test
    void scalingsOfTheStandardReadAsThePapersSay() {
        // SAE J1979: PID 0C (256 A + B) / 4 rpm, 1A F8 -> 1726; PID 05 A - 40; PID 0D A km/h.
        var layout = buswitness.schema.Layouts.parse(Scene.LAYOUT, "x");
        var rpm = layout.messages().get(2).carries().get(0);
        assertEquals(1726, rpm.read(new byte[] {0x1A, (byte) 0xF8}, 2));
        var coolant = layout.messages().get(0).carries().get(0);
        assertEquals(-40, coolant.read(new byte[] {0, 0, 0}, 3));
        assertEquals(215, coolant.read(new byte[] {(byte) 0xFF, 0, 0}, 3));
    }
}
