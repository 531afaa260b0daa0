package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import buswitness.schema.Instrument;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/** Plans: what is refused and where, and that a new one serves every instrument. */
class PlanReaderTest {
    @TempDir
    static Path folder;

    private record Bad(String text, int line, int column, String says) {}

    @TestFactory
    Stream<DynamicTest> badPlansAreRefusedWithLineAndColumn() {
        String head = "plan: p\nlayout: invented.layout.yaml\nsteps:\n  s:\n    stage: running\n    do: Look.\n";
        List<Bad> all = List.of(
                new Bad("plan: p\nlayout: nowhere.yaml\nsteps: {}\n", 2, 9, "there is no such layout"),
                new Bad("layout: invented.layout.yaml\nsteps: {}\n", 1, 1, "'plan' is missing"),
                new Bad("plan: p\nlayout: invented.layout.yaml\nstesp: {}\n", 3, 1, "did you mean 'steps'?"),
                new Bad("plan: p\nlayout: invented.layout.yaml\nsteps: {}\n", 3, 1, "has no step"),
                new Bad(head, 4, 3, "says nothing about how it is judged"),
                new Bad(head.replace("running", "runing") + "    judge: {person: x}\n", 5, 12, "did you mean 'running'?"),
                new Bad(head + "    judge: [{signal: coolnat, equals: 1}]\n", 7, 22, "did you mean 'coolant'?"),
                new Bad(head + "    judge: [{signal: coolant}]\n", 7, 13, "does not say how it is judged"),
                new Bad(head + "    judge: [{signal: coolant, equals: 1, between: 1..2}]\n", 7, 42, "judged in two ways"),
                new Bad(head + "    judge: [{signal: coolant, equals: hot}]\n", 7, 39, "is not a number"),
                new Bad(head + "    judge: [{signal: coolant, between: 95..80}]\n", 7, 40, "runs downwards"),
                new Bad(head + "    judge: [{lamp: coolant gauge, is: lit}]\n", 7, 20, "unknown lamp"),
                new Bad(head + "    judge: [{lamp: turn lamp, blinks: 60..120}]\n", 7, 39, "has no unit"),
                new Bad(head + "    judge: [{lamp: oil lamp, is: lit, lamp: oil lamp}]\n", 7, 39, "a second time"),
                new Bad(head + "    judge: [{bus: falls silent, within: 3 s}]\n", 7, 13, "'for' is missing"),
                new Bad(head + "    judge: [{bus: falls asleep}]\n", 7, 19, "unknown judgement of the bus"),
                new Bad(head + "    judge: [{message: stat, every: 1 s}]\n", 7, 23, "did you mean 'state'?"),
                new Bad(head + "    judge: [{line: a, follows: b}]\n", 7, 13, "neither 'delay' nor 'ratio'"),
                new Bad(head + "    judge: [{person: a}, {person: b}]\n", 7, 5, "asks a person twice"),
                new Bad(head + "    judge: [{signal: coolant, lamp: oil lamp, is: lit}]\n", 7, 31, "about two things"),
                new Bad(head + "    judge: [{signal: road speed, counts: p, tolerance: 1 %}]\n", 7, 34, "pulses per km"),
                new Bad(head + "    window: {from: 5 s, until: 2 s}\n    judge: {person: x}\n", 7, 25, "ends before it begins"),
                new Bad(head + "    window: {from: mark }\n    judge: {person: x}\n", 7, 20, "is not a quantity"),
                new Bad(head + "    window: {for: 2 s, settle: 3 s}\n    judge: {person: x}\n", 7, 24, "leaves nothing"),
                new Bad(head + "    calibrate: {input: {unit: V}, points: []}\n", 7, 16, "neither 'signal' nor 'needle'"),
                new Bad(head + "    calibrate: {input: {unit: V, line: p}, signal: coolant, points: []}\n", 7, 31, "counted in Hz"),
                new Bad(head + "    calibrate: {input: {unit: V}, signal: coolant, points: [{input: 1, tolerance: 2}]}\n", 7, 61,
                        "neither what the bus"));
        return all.stream().map(b -> DynamicTest.dynamicTest(b.says, () -> {
            Files.writeString(folder.resolve("invented.layout.yaml"), Scene.LAYOUT);
            Path file = Files.writeString(folder.resolve("bad.plan.yaml"), b.text);
            InputFault fault = assertThrows(InputFault.class, () -> Plans.load(file));
            assertTrue(fault.getMessage().contains(b.says), fault.getMessage());
            assertEquals(b.line + ":" + b.column, fault.place().line() + ":" + fault.place().column(), fault.getMessage());
            assertTrue(fault.getMessage().indexOf('\n') < 0);
        }));
    }

    @Test
    void aNewPlanServesEveryInstrumentAndLoads() throws IOException {
        for (Path source : List.of(Path.of("captures/workshop/installed.layout.yaml"), Path.of("captures/tern.layout.yaml"),
                Path.of("captures/pages.layout.yaml"))) {
            Layout layout = Layouts.load(source);
            Files.copy(source, folder.resolve("l.yaml"), java.nio.file.StandardCopyOption.REPLACE_EXISTING);
            String text = Plans.draft(layout, "l.yaml");
            Plan plan = Plans.load(Files.writeString(folder.resolve("new.plan.yaml"), text));
            List<String> unserved = new ArrayList<>();
            for (Instrument i : layout.instruments()) if (!text.contains(i.name())) unserved.add(i.name());
            assertEquals(List.of(), unserved);
            for (Stage stage : List.of(Stage.BATTERY, Stage.WAKE_UP, Stage.CRANKING, Stage.RUNNING, Stage.IGNITION_OFF)) {
                assertTrue(plan.steps().stream().anyMatch(s -> s.stage() == stage), stage.text());
            }
            assertTrue(!plan.cautions().isEmpty());
        }
    }

    @Test
    void namesThatYamlWouldMistakeAreQuoted() throws IOException {
        Files.writeString(folder.resolve("l.yaml"), """
                messages:
                  "a: b, [c] #d":
                    id: 0x1
                    every: 1 s
                    carries: {"yes": {bit: 0}, "x \\" y": {bits: 8..15, unit: °C}, "line\\nbreak": {bit: 1}}
                instruments:
                  "no": {shows: "yes", lit when: 1}
                  "{lamp}": {shows: "line\\nbreak", lit when: 1}
                  "coolant: \\"hot\\"": {shows: "x \\" y", from: 0, to: 100}
                """);
        Plan plan = Plans.load(Files.writeString(folder.resolve("odd.plan.yaml"), Plans.draft(
                Layouts.load(folder.resolve("l.yaml")), "l.yaml")));
        assertTrue(plan.steps().size() > 5);
    }

    /** Papers of a dashboard name what it needs, not who sends it: those messages too must come in time. */
    @Test
    void aDraftAsksForWhatTheDashboardNeeds() {
        String text = Plans.draft(Layouts.parse("""
                bus: {coding: can, rate: 125 kbit/s}
                messages:
                  needed: {id: 0x100, every: 100 ms, length: 2, carries: {water: {bits: 0..7, unit: °C}}}
                  idle talk: {id: 0x101, every: 200 ms, length: 2}
                instruments:
                  water gauge: {shows: water, from: 0, to: 120}
                """, "x"), "x.layout.yaml");
        assertTrue(text.contains("{message: needed, every: 100 ms, tolerance: 5 %}"), text);
        assertFalse(text.contains("idle talk, every"), text);
        assertTrue(text.contains("water, rises by: 20}"), "the coolant rises, whatever its gauge is called");
    }

    @Test
    void theSpeedometerTableHoldsThePublishedFigures() throws IOException {
        // JIS D 5601 (from memory): at 60 km/h the cable turns 637 times a minute; with 4 pulses a turn that is 42.47 Hz.
        assertEquals(637, 60 / 60.0 * PlanDraft.PULSES_PER_KM / 4, 1e-9);
        String text = Plans.draft(Layouts.load(Path.of("captures/tern.layout.yaml")), "l.yaml");
        assertTrue(text.contains("{input: 42.47, bus: 60,"), text);
        assertTrue(text.contains("bus line: Tern body bus "), text);
        // UN R39, 5.4: shown less true speed is at least 0 and at most a tenth of it and 4 km/h; 60 to 70 km/h at 60.
        assertTrue(text.contains("{input: 42.47, bus: 60, needle: 65, tolerance: 5}"), text);
        assertTrue(text.contains("{input: 21.23, bus: 30, needle: 33.5, tolerance: 3.5}"), text);
        // Blink rates of UN R48, 6.5.8.
        assertTrue(text.contains("blinks: 60..120 per min"));
    }
}
