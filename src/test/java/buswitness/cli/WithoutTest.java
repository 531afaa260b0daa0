package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** From simulated wires of one bus, whole and with a node unplugged, to the words on the screen and in the files. */
class WithoutTest {
    @TempDir
    static Path folder;

    private static Path both;
    private static Path withoutEngine;
    private static Path withoutTranslator;

    /** Nodes in the order that the scenario names them; engine unit and gauge translator fight over one message. */
    private static final Map<String, String> NODES = new LinkedHashMap<>();

    static {
        NODES.put("engine unit", "{clock: 41 ppm, delay: 40 us, sends: {engine state: {phase: 13 ms}}}");
        NODES.put("gauge translator", "{clock: -36 ppm, delay: 40 us, sends: {engine state: {phase: 44 ms}}}");
        NODES.put("dashboard", "{clock: 9 ppm}");
        NODES.put("door unit", "{clock: -75 ppm}");
    }

    @BeforeAll
    static void record() throws IOException {
        Files.writeString(folder.resolve("bus.layout.yaml"), """
                bus: {rate: 125 kbit/s}
                nodes: [engine unit, gauge translator, dashboard, door unit]
                messages:
                  engine state: {id: 0x1D0, from: [engine unit, gauge translator], every: 100 ms, length: 4}
                  engine load: {id: 0x120, from: engine unit, every: 50 ms, length: 8}
                  gauge lighting: {id: 0x121, from: gauge translator, every: 50 ms, length: 8}
                  dashboard clock: {id: 0x122, from: dashboard, every: 50 ms, length: 8}
                  door state: {id: 0x2A0, from: door unit, every: 100 ms, length: 2}
                """);
        both = simulate("both", "tick: 1 us", "");
        withoutEngine = simulate("no-engine", "tick: 1 us", "engine unit");
        withoutTranslator = simulate("no-translator", "tick: 1 us", "gauge translator");
    }

    /** A recording without the nodes named; {@code NODE: ppm} instead gives a node another clock. */
    private static Path simulate(String name, String recorder, String... changes) throws IOException {
        Map<String, String> nodes = new LinkedHashMap<>(NODES);
        for (String change : changes) {
            String[] parts = change.split(": ");
            if (parts.length == 1) nodes.remove(parts[0]);
            else nodes.computeIfPresent(parts[0], (n, text) -> text.replaceFirst("clock: \\S+", "clock: " + parts[1]));
        }
        StringBuilder scenario = new StringBuilder("layout: bus.layout.yaml\nduration: 30 s\nseed: " + name.length()
                + "\nnodes:\n");
        nodes.forEach((node, text) -> scenario.append("  ").append(node).append(": ").append(text).append('\n'));
        scenario.append("recorder: {line: body bus, ").append(recorder).append("}\n");
        Path file = Files.writeString(folder.resolve(name + ".scenario.yaml"), scenario);
        return recorded(file, folder.resolve(name + ".bwl"));
    }

    private static Path recorded(Path scenario, Path out) {
        CommandRun run = CommandRun.of("simulate", scenario.toString(), "--out", out.toString());
        assertEquals(0, run.status(), run.err());
        return out;
    }

    private static CommandRun proveWithoutEngine(Path reference, String... more) {
        List<String> words = new ArrayList<>(List.of("prove", both.toString(), "--without", "engine unit=" + reference));
        words.addAll(List.of(more));
        CommandRun run = CommandRun.of(words.toArray(new String[0]));
        assertEquals(1, run.status(), "the clash is there with or without a recording that fits: " + run.err());
        return run;
    }

    private static String section(CommandRun run) {
        String text = run.out().replaceAll("\\s+", " ");
        int from = text.indexOf("With a node unplugged");
        return text.substring(from, text.indexOf("Which messages", from));
    }

    @Test
    void anotherTemperatureIsSaid() throws IOException {
        Path warm = simulate("warm", "tick: 1 us", "engine unit", "gauge translator: -22", "dashboard: 19");
        String said = section(proveWithoutEngine(warm, "--no-layout"));
        assertTrue(said.contains("moved by unlike amounts"), said);
        assertTrue(said.contains("it is sender"), said);
        Path hot = simulate("hot", "tick: 1 us", "engine unit", "gauge translator: 190", "dashboard: -160");
        said = section(proveWithoutEngine(hot, "--no-layout"));
        assertTrue(said.contains("another temperature, so clocks are not compared"), said);
    }

    @Test
    void anotherRecorderIsTakenOut() throws IOException {
        Path other = simulate("other", "tick: 250 ns, clock: 60 ppm", "engine unit");
        String said = section(proveWithoutEngine(other, "--no-layout"));
        assertTrue(said.contains("All clocks are moved by "), said);
        assertTrue(said.contains("another recorder or another temperature"), said);
        assertTrue(said.contains("it is sender"), said);
    }

    @Test
    void moreThanThatNodeMissingFitsNot() throws IOException {
        Path more = simulate("more", "tick: 1 us", "engine unit", "door unit");
        String said = section(proveWithoutEngine(more, "--no-layout"));
        assertTrue(said.contains("more than the engine unit is missing"), said);
        assertTrue(said.contains("not settled which sender it is"), said);
    }

    /** Nobody acknowledges what a node left alone sends, so it repeats one frame without end. */
    @Test
    void aNodeLeftAloneIsExplained() throws IOException {
        Path alone = simulate("alone", "tick: 1 us", "engine unit", "dashboard", "door unit");
        String said = section(proveWithoutEngine(alone, "--no-layout"));
        assertTrue(said.contains("Only one node was left"), said);
        assertTrue(said.contains("Leave at least one other node on the bus"), said);
    }

    /** The layout knows better than the hand that pulled the plug. */
    @Test
    void anotherNodeUnpluggedThanTheOneNamed() throws IOException {
        Path wrong = simulate("wrong", "tick: 1 us", "door unit");
        String said = section(proveWithoutEngine(wrong));
        assertTrue(said.contains("was the door unit unplugged?"), said);
        assertTrue(said.contains("not settled which sender it is"), said);
    }

    /** Two nodes that answer one header of a master: their schedules are the master's, their bits their own. */
    @Test
    void answersToAMasterAreNamedByTheirBits() throws IOException {
        Files.copy(Path.of("captures/engine-lin.layout.yaml"), folder.resolve("engine-lin.layout.yaml"));
        String whole = Files.readString(Path.of("captures/lin-two-answers.scenario.yaml"));
        int translator = whole.indexOf("  gauge translator:");
        int old = whole.indexOf("  old sender:");
        int level = whole.indexOf("  level sender:");
        Path noTranslator = Files.writeString(folder.resolve("a.scenario.yaml"), whole.substring(0, translator)
                + whole.substring(old));
        Path noOld = Files.writeString(folder.resolve("b.scenario.yaml"), whole.substring(0, old) + whole.substring(level));
        CommandRun run = CommandRun.of("prove", "captures/lin-two-answers.bwr.gz", "--without",
                "gauge translator=" + recorded(noTranslator, folder.resolve("a.bwl")), "--without",
                "old sender=" + recorded(noOld, folder.resolve("b.bwl")));
        assertEquals(1, run.status(), run.err());
        assertTrue(run.out().replaceAll("\\s+", " ").contains("by more than one unit: A (gauge translator) and D (old"
                + " sender)"), run.out());
    }

    @Test
    void namesBothSendersWithoutALayout() throws IOException {
        Path html = folder.resolve("out.html");
        CommandRun run = CommandRun.of("prove", both.toString(), "--no-layout", "--json", "-", "--html", html.toString(),
                "--without", "engine unit=" + withoutEngine, "--without", "gauge translator=" + withoutTranslator);
        assertEquals(1, run.status(), run.err());
        assertTrue(run.err().contains("With a node unplugged"), run.err());
        assertTrue(run.err().contains("Without the engine unit"), run.err());
        assertTrue(run.out().contains("\"name\" : \"engine unit\""), run.out());
        assertTrue(run.out().contains("\"name\" : \"gauge translator\""), run.out());
        assertTrue(run.out().contains("\"kind\" : \"without\""), run.out());
        assertTrue(run.out().contains("\"references\""), run.out());
        assertTrue(Files.readString(html).contains("With a node unplugged"));
        assertFalse(CommandRun.of("prove", both.toString()).out().contains("With a node unplugged"));
    }

    @Test
    void refusesWhatIsNoPair() {
        for (String[] words : new String[][] {{"engine unit"}, {"=" + withoutEngine}, {"engine unit="}, {"e=nowhere.vcd"}}) {
            CommandRun run = CommandRun.of("prove", both.toString(), "--without", words[0]);
            assertTrue(run.failedInOneLine(), run.toString());
        }
        CommandRun twice = CommandRun.of("prove", both.toString(), "--without", "a=" + withoutEngine, "--without",
                "a=" + withoutTranslator);
        assertTrue(twice.failedInOneLine() && twice.err().contains("given twice"), twice.toString());
        CommandRun clobber = CommandRun.of("prove", both.toString(), "--without", "a=" + withoutEngine, "--json",
                withoutEngine.toString());
        assertTrue(clobber.failedInOneLine(), clobber.toString());
    }
}
