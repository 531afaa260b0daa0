package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A calibration table, up and down, on the bus and on the needle. */
class CalibrationTableTest {
    // JIS D 5601 (from memory): 637 turns a km, 4 pulses a turn: 30 km/h is 21.233 Hz, 60 km/h is 42.467 Hz.
    private static final String TABLE = """
            calibrate:
              input: {unit: Hz, line: pulses, tolerance: 1 %}
              signal: road speed
              needle: {unit: km/h, reads to: 2}
              settle: 1 s
              hysteresis at most: 3
              points:
                - {input: 21.233, bus: 30, needle: 30, tolerance: 2}
                - {input: 42.467, bus: 60, needle: 60, tolerance: 2}
            """;

    @TempDir
    Path folder;

    /** Plateaus of 5 s: 30 up, 60 up, 60 down, 30 down. */
    private static Scene drive(double up60, double down30) {
        List<Double> edges = new ArrayList<>();
        double[] hertz = {21.233, 42.467, 42.467, 21.233};
        for (int p = 0; p < 4; p++) {
            for (double t = 5 * p + 0.01; t < 5 * p + 5; t += 0.5 / hertz[p]) edges.add(Math.rint(t * 1e6) / 1e6);
            if (edges.size() % 2 == 1) edges.remove(edges.size() - 1);
        }
        return new Scene(20).panel().shown(t -> 0, t -> t < 5 ? 30 : t < 10 ? up60 : t < 15 ? 60 : down30)
                .line("pulses", edges.stream().mapToDouble(Double::doubleValue).toArray())
                .mark(0.01, "up 21.233").mark(5, "UP  42.4670").mark(10, "down 42.467").mark(15, "down 21.233");
    }

    private List<Judgement> recorded(Scene scene) throws IOException {
        Step step = Scene.step(folder, TABLE);
        assertEquals(List.of(Step.Part.RECORDING, Step.Part.READINGS), step.parts());
        return StepJudge.judge(step, scene.made());
    }

    private static Outcome outcome(List<Judgement> all) {
        return all.stream().map(Judgement::outcome).reduce(Outcome.PASS, Outcome::and);
    }

    @Test
    void pointsPassFailAndStayUndecided() throws IOException {
        List<Judgement> good = recorded(drive(60, 30));
        assertEquals(5, good.size(), "four points and the difference of the ways");
        assertEquals(Outcome.PASS, outcome(good));
        assertEquals(60, good.get(1).measured(), 0.01);
        assertTrue(good.get(1).says().contains("42.46"), good.get(1).says());
        assertEquals(Outcome.FAIL, recorded(drive(64, 30)).get(1).outcome());
        // A mean of a hundred frames is known to the step of the bus, 0.01 km/h: exactly at the limit is undecided.
        assertEquals(Outcome.UNDECIDED, recorded(drive(62, 30)).get(1).outcome());
    }

    /** 45 and 75 in turn are 60 on average, and no speedometer shows 60 then. */
    @Test
    void aMeanOfWhatSwingsDoesNotPass() throws IOException {
        List<Double> edges = new ArrayList<>();
        for (double t = 0.01; t < 200; t += 0.5 / 42.467) edges.add(Math.rint(t * 1e6) / 1e6);
        if (edges.size() % 2 == 1) edges.remove(edges.size() - 1);
        Scene swings = new Scene(200).panel().shown(t -> 0, t -> Math.round(t / 0.05) % 2 == 0 ? 58.5 : 55)
                .line("pulses", edges.stream().mapToDouble(Double::doubleValue).toArray()).mark(0.01, "up 42.467");
        Judgement good = recorded(swings).get(1);
        assertEquals(Outcome.FAIL, good.outcome(), good.says());
        Scene wide = new Scene(200).panel().shown(t -> 0, t -> Math.round(t / 0.05) % 2 == 0 ? 45 : 75)
                .line("pulses", edges.stream().mapToDouble(Double::doubleValue).toArray()).mark(0.01, "up 42.467");
        Judgement bad = recorded(wide).get(1);
        assertEquals(60, bad.measured(), 0.5, "right on average");
        assertEquals(Outcome.FAIL, bad.outcome(), bad.says());
        assertTrue(bad.says().contains("on average only: it runs from 45 to 75"), bad.says());
    }

    @Test
    void hysteresisIsReported() throws IOException {
        Judgement apart = recorded(drive(60, 31.5)).get(4);
        assertEquals(1.5, apart.measured(), 0.01);
        assertEquals("up and down, for the record", apart.expected());
        assertTrue(apart.says().contains("21.233"), apart.says());
    }

    @Test
    void aWrongInputTellsNothing() throws IOException {
        Scene wrong = new Scene(20).panel().shown(t -> 0, t -> 30).pulses("pulses", 25, 0, 20).mark(0.01, "up 21.233");
        List<Judgement> all = recorded(wrong);
        assertEquals(Outcome.UNDECIDED, all.get(0).outcome());
        assertTrue(all.get(0).says().contains("not the input of this point"), all.get(0).says());
        assertTrue(all.get(1).says().contains("no mark 'up 42.467'"), all.get(1).says());
        assertThrows(InputFault.class, () -> recorded(new Scene(20).panel().shown(t -> 0, t -> 30).line("pulses")));
    }

    private List<Judgement> read(String csv) throws IOException {
        Calibration table = Scene.step(folder, TABLE).calibration();
        return new CalibrationJudge(table).read(ReadingsFile.parse(csv.getBytes(StandardCharsets.UTF_8), "needle.csv", table));
    }

    @Test
    void needlesAreJudgedUpAndDown() throws IOException {
        List<Judgement> good = read("way,input,needle\nup,21.233,30\nup,42.467,60\ndown,42.467,60\ndown,21.233,30\n");
        assertEquals(Outcome.PASS, outcome(good));
        assertEquals(2 / Math.sqrt(12), good.get(0).uncertainty(), 1e-12, "read to the nearest 2 km/h");
        List<Judgement> sticks = read("way,input,needle\nup,21.233,30\nup,42.467,60\ndown,42.467,60\ndown,21.233,36\n");
        assertEquals(Outcome.FAIL, sticks.get(2).outcome());
        assertEquals(Outcome.FAIL, sticks.get(4).outcome(), "6 km/h of hysteresis");
        List<Judgement> near = read("way,input,needle\nup,21.233,32\nup,42.467,60\ndown,42.467,60\ndown,21.233,30\n");
        assertEquals(Outcome.UNDECIDED, near.get(0).outcome());
        assertEquals(Outcome.UNDECIDED, outcome(read("way,input,needle\nup,21.233,30\n")), "three points were not read");
    }

    @Test
    void badReadingsAreNamedByLine() {
        for (String[] bad : new String[][] {{"way,input\n", "1"}, {"way,input,needle\nup,21.233,x\n", "2"},
            {"way,input,needle\nsideways,21.233,3\n", "2"}, {"way,input,needle\nup,20,3\n", "2"},
            {"way,input,needle\nup,21.233,3\nup,21.233,4\n", "3"}, {"way,input,needle\nup,21.233\n", "2"}}) {
            InputFault fault = assertThrows(InputFault.class, () -> read(bad[0]), bad[0]);
            assertEquals(Integer.parseInt(bad[1]), fault.place().line(), bad[0] + fault.getMessage());
        }
        assertThrows(InputFault.class, () -> read(""));
    }
}
