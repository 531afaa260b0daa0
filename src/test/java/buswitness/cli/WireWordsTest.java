package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A recording whose tick is too coarse for wire evidence says so, and which tick would do: on screen, as JSON, as HTML. */
class WireWordsTest {
    @TempDir
    Path folder;

    @Test
    void theTickThatWouldDoStandsInEveryReport() throws IOException {
        Path json = folder.resolve("clash.json");
        Path html = folder.resolve("clash.html");
        CommandRun run = CommandRun.with(Map.of("COLUMNS", "100"), "prove", "captures/two-translators.bwl.gz",
                "--json", json.toString(), "--html", html.toString());
        assertEquals(1, run.status(), run.err());
        String words = "A tick of 100 ns would do to compare the schedules";
        String screen = run.out().replaceAll("\\s+", " ");
        assertTrue(screen.contains(words), screen);
        assertTrue(Files.readString(html).replaceAll("[\\s\u00A0]+", " ").contains(words));
        assertTrue(Files.readString(json).contains(words));
        List<Double> ticks = JsonNumbers.of(json, "tick_needed_for_schedules_s");
        assertEquals(1e-7, ticks.get(0), 1e-15);
    }
}
