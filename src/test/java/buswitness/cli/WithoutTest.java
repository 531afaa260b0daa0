package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
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

    @BeforeAll
    static void record() throws IOException {
        Files.writeString(folder.resolve("bus.layout.yaml"), """
                bus: {rate: 125 kbit/s}
                nodes: [engine unit, gauge translator, dashboard]
                messages:
                  engine state: {id: 0x1D0, from: [engine unit, gauge translator], every: 100 ms, length: 4}
                  engine load: {id: 0x120, from: engine unit, every: 50 ms, length: 8}
                  gauge lighting: {id: 0x121, from: gauge translator, every: 50 ms, length: 8}
                  dashboard clock: {id: 0x122, from: dashboard, every: 50 ms, length: 8}
                """);
        both = simulate("both", true, true);
        withoutEngine = simulate("no-engine", false, true);
        withoutTranslator = simulate("no-translator", true, false);
    }

    private static Path simulate(String name, boolean engine, boolean translator) throws IOException {
        String unit = "  %s:\n    clock: %s ppm\n    delay: 40 us\n    sends:\n      %s: {phase: %s ms}\n";
        String scenario = "layout: bus.layout.yaml\nduration: 30 s\nseed: " + name.length() + "\nnodes:\n"
                + (engine ? unit.formatted("engine unit", "41", "engine state", "13") : "")
                + (translator ? unit.formatted("gauge translator", "-36", "engine state", "44") : "")
                + "  dashboard: {clock: 9 ppm}\n"
                + "recorder: {line: body bus, tick: 1 us}\n";
        Path file = Files.writeString(folder.resolve(name + ".scenario.yaml"), scenario);
        Path out = folder.resolve(name + ".bwl");
        CommandRun run = CommandRun.of("simulate", file.toString(), "--out", out.toString());
        assertEquals(0, run.status(), run.err());
        return out;
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
