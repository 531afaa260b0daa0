package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.Findings;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameLevels;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * How high the line stands, as wire evidence: simulated voltages whose senders' levels are known. The trains of 0x100 are told
 * apart by their schedules alone: same payload, a sampling too coarse for the bit lengths, and no other message on either clock.
 */
class LevelEvidenceTest {
    private static final String RECORDER = "recorder: {samples: 1 MHz, edge: 300 ns, noise: 20 mV%s}\n";
    private static final String OWN_A = "m2: {id: 0x110, length: 8, every: 50 ms, filler: 0x0F}, "
            + "m3: {id: 0x120, length: 4, every: 20 ms, filler: 0x33}, m6: {id: 0x130, length: 2, every: 25 ms, filler: 0x1C}";
    private static final String OWN_B = "m4: {id: 0x210, length: 8, every: 50 ms, filler: 0x3F}, "
            + "m5: {id: 0x220, length: 5, every: 20 ms, filler: 0x71}, m7: {id: 0x230, length: 3, every: 25 ms, filler: 0x66}";
    private static final String CLASH = "m1: {id: 0x100, length: 8, every: 100 ms, filler: 0x57}";

    @TempDir
    Path folder;

    private Findings prove(String nodes, String recorder, String ending, int seconds) throws IOException {
        Path scenario = folder.resolve("bus.scenario.yaml");
        Files.writeString(scenario, "rate: 125 kbit/s\nduration: " + seconds + " s\nseed: 3\nnodes:\n" + nodes + recorder);
        Path recording = folder.resolve("bus." + ending);
        CommandRun run = CommandRun.of("simulate", scenario.toString(), "--out", recording.toString());
        assertEquals(0, run.status(), run.err());
        return Analysis.prove(AnalysisOptions.of(recording), Progress.SILENT);
    }

    private Findings prove(String nodes) throws IOException {
        return prove(nodes, RECORDER.formatted(""), "wav", 14);
    }

    private static String node(String name, String clock, String habits, String sends) {
        return "  " + name + ": {clock: " + clock + ", " + habits + ", sends: {" + sends + "}}\n";
    }

    private static MessageFinding clash(Findings findings) {
        return findings.clashes().messages().stream().filter(m -> m.key() == MessageKey.can(0x100, false)).findFirst()
                .orElseThrow();
    }

    private static Evidence wire(Findings findings) {
        return clash(findings).evidence().stream().filter(e -> e.kind() == Evidence.Kind.WIRE).findFirst().orElse(null);
    }

    private static double figure(Evidence wire, String name) {
        return wire.figures().stream().filter(f -> f.name().equals(name)).findFirst().orElseThrow().value();
    }

    @Test
    void levelsProveWithTheScheduleWhatTheScheduleAloneLeavesOpen() throws IOException {
        Findings findings = prove(node("A", "20 ppm", "level: 2 V", CLASH) + node("B", "-30 ppm", "level: 2.1 V", CLASH)
                + node("C", "5 ppm", "level: 1.8 V", OWN_A));
        Evidence wire = wire(findings);
        assertEquals(Verdict.TWO_SENDERS, clash(findings).verdict(), () -> String.valueOf(wire));
        assertTrue(wire.strength() >= 3, wire.toString());
        assertFalse(wire.conclusive(), "levels never prove by themselves");
        // Full scale is 4 V: 1.6 times the highest level, up to a power of two.
        double one = figure(wire, "level_step_first_fs") * 4;
        double other = figure(wire, "level_step_second_fs") * 4;
        assertEquals(2.0, Math.min(one, other), 0.01);
        assertEquals(2.1, Math.max(one, other), 0.01);
        assertTrue(figure(wire, "level_told_share") > 0.98, wire.toString());
        assertTrue(wire.says().contains("of full scale"), wire.says());
        saidOfTheSenders(folder.resolve("bus.wav"));
        assertEquals(Verdict.UNDECIDED, clash(findings).ablation().stream()
                .filter(a -> a.without() == Evidence.Kind.WIRE).findFirst().orElseThrow().verdict());
    }

    /** 2.0 and 2.1 of 4 V, and C's 1.8 V. */
    private static void saidOfTheSenders(Path recording) {
        String json = CommandRun.of("prove", recording.toString(), "--json", "-").out().replaceAll("\\s", "");
        double[] steps = java.util.regex.Pattern.compile("\"unit\":\"FS\",\"dominant\":[-0-9.]+,\"recessive\":[-0-9.eE]+,"
                + "\"step\":([0-9.]+),\"step_error\":").matcher(json).results()
                .mapToDouble(m -> Double.parseDouble(m.group(1))).sorted().toArray();
        assertEquals(3, steps.length, json);
        double[] expected = {0.45, 0.5, 0.525};
        for (int i = 0; i < 3; i++) assertEquals(expected[i], steps[i], 0.003);
        String screen = CommandRun.of("prove", recording.toString()).out().replaceAll("\\s+", " ");
        assertTrue(screen.matches(".*dominant bits 0\\.52\\d+ ± 0\\.000\\d+ of full scale from rest; sends.*"), screen);
    }

    /** Arbitrated bits and the acknowledge slot are driven by several and would be higher. */
    @ParameterizedTest
    @ValueSource(strings = {"wav", "csv"})
    void eachFrameHasTheLevelOfWhoSentIt(String ending) throws IOException {
        Findings findings = prove(node("A", "20 ppm", "level: 2 V", OWN_A) + node("B", "-30 ppm", "level: 2.2 V", OWN_B)
                + "  C: {level: 2.9 V}\n", RECORDER.formatted(""), ending, 3);
        FrameLog log = findings.frames();
        FrameLevels levels = log.levels();
        double volt = ending.equals("wav") ? 1 / 8.0 : 1;
        assertEquals(ending.equals("wav") ? "FS" : "V", levels.unit());
        int seen = 0;
        for (int i = 0; i < log.size(); i++) {
            if (Float.isNaN(levels.swing(i))) continue;
            double expected = MessageKey.text(log.key(i)).startsWith("0x1") ? 2.0 : 2.2;
            assertEquals(expected * volt, levels.swing(i), 0.03 * volt, "frame " + i);
            assertEquals(expected * volt, levels.dominant(i), 0.03 * volt);
            assertEquals(0, levels.recessive(i), 0.02 * volt);
            assertTrue(levels.swingError(i) < 0.03 * volt);
            seen++;
        }
        assertTrue(seen > 0.99 * log.size() && seen > 500, seen + " of " + log.size());
    }

    @Test
    void levelChangesAloneHaveNoLevels() {
        assertNull(Analysis.prove(AnalysisOptions.of(Path.of("captures/healthy.bwl.gz")), Progress.SILENT).frames().levels());
    }

    /** Same transmitters: the verdict stays open, for schedules alone prove two timers, not two nodes. */
    @Test
    void equalLevelsAccuseNobody() throws IOException {
        Findings findings = prove(node("A", "20 ppm", "level: 2 V", CLASH) + node("B", "-30 ppm", "level: 2 V", CLASH)
                + node("C", "5 ppm", "level: 1.8 V", OWN_A));
        assertFalse(clash(findings).verdict() == Verdict.TWO_SENDERS, () -> String.valueOf(wire(findings)));
        assertNotNull(wire(findings));
        assertTrue(wire(findings).says().contains("The levels are alike"), wire(findings).says());
    }

    /**
     * One unit that also forwards its message on another bus's timer: its ground warms, its load is switched in step with its
     * own timer, the supply dips, the tap is coupled through a capacitor. None of that is a second unit.
     */
    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '"', value = {
        "level drifts: {by: 300 mV, over: 5 s}| , dips: [{at: 3 s, for: 2 s, by: 15 %}, {at: 9 s, for: 50 ms, by: 30 %}]",
        "load: {by: 150 mV, every: 100 ms}|\"\"", "load: {by: 150 mV, every: 1.3 s, on: 40 %}| , coupling: 200 Hz"})
    void oneUnitWhoseLevelsMoveIsNotAccused(String habits, String recorder) throws IOException {
        String both = CLASH.replace("every: 100 ms", "every: 100 ms, forwarded: {every: 100 ms, clock: 90 ppm}");
        Findings findings = prove(node("A", "20 ppm", "level: 2 V, " + habits, both + ", " + OWN_A)
                + node("B", "-30 ppm", "level: 2.1 V", OWN_B) + "  C: {level: 1.8 V}\n", RECORDER.formatted(recorder), "wav", 12);
        assertEquals(2, findings.senders().tracks(MessageKey.can(0x100, false)).size());
        Evidence wire = wire(findings);
        assertTrue(wire == null || wire.strength() < 3, () -> String.valueOf(wire));
        assertFalse(clash(findings).verdict() == Verdict.TWO_SENDERS, () -> String.valueOf(wire));
    }

    @Test
    void aUnitReplacedByAnotherIsNotAccused() throws IOException {
        Findings findings = prove(node("A", "20 ppm", "level: 2 V, plugged: {until: 7 s}", CLASH + ", " + OWN_A)
                + node("B", "-30 ppm", "level: 2.2 V, plugged: {from: 7.2 s}", CLASH + ", " + OWN_A) + "  C: {level: 1.8 V}\n");
        assertEquals(Verdict.ONE_SENDER, clash(findings).verdict(), () -> String.valueOf(wire(findings)));
    }

    /** Sent on events just when a load is switched: the level differs, and it is the same unit. */
    @Test
    void aLoadSwitchedWithAnEventIsNoSecondUnit() throws IOException {
        StringBuilder at = new StringBuilder();
        for (int k = 0; k < 40; k++) at.append(k == 0 ? "" : ", ").append(String.format(java.util.Locale.ROOT, "%.3f s", 0.51 + k * 0.33));
        Findings findings = prove(node("A", "20 ppm", "level: 2 V, load: {by: 200 mV, every: 330 ms, on: 10 %}",
                "m1: {id: 0x100, length: 8, every: 100 ms, at: [" + at + "], filler: 0x57}, " + OWN_A)
                + node("B", "-30 ppm", "level: 2.1 V", OWN_B) + "  C: {level: 1.8 V}\n");
        Evidence wire = wire(findings);
        assertFalse(clash(findings).verdict() == Verdict.TWO_SENDERS, () -> String.valueOf(wire));
        assertTrue(wire == null || wire.strength() < 3, () -> String.valueOf(wire));
    }
}
