package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.Progress;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** What a command learns about its surroundings. */
class TerminalTest {
    private static Terminal with(Map<String, String> environment) {
        PrintStream nowhere = new PrintStream(PrintStream.nullOutputStream());
        return new Terminal(nowhere, nowhere, environment);
    }

    @Test
    void widthIsAlwaysSensible() {
        assertEquals(80, with(Map.of()).columns());
        assertEquals(132, with(Map.of("COLUMNS", "132")).columns());
        assertEquals(30, with(Map.of("COLUMNS", "1")).columns());
        assertEquals(200, with(Map.of("COLUMNS", "999999")).columns());
        for (String odd : new String[] {"", "0", "-5", "wide", "99999999999"}) {
            assertEquals(80, with(Map.of("COLUMNS", odd)).columns(), odd);
        }
    }

    @Test
    void colourOnlyWhereItIsWanted() {
        assertTrue(with(Map.of("BUSWITNESS_STDOUT", "terminal", "TERM", "xterm")).colourOn(true));
        assertFalse(with(Map.of("BUSWITNESS_STDOUT", "terminal")).colourOn(false));
        assertFalse(with(Map.of("TERM", "xterm")).colourOn(true));
        assertFalse(with(Map.of("BUSWITNESS_STDOUT", "terminal", "TERM", "dumb")).colourOn(true));
        assertFalse(with(Map.of("BUSWITNESS_STDOUT", "terminal", "NO_COLOR", "1")).colourOn(true));
        assertTrue(with(Map.of("BUSWITNESS_STDOUT", "terminal", "NO_COLOR", "")).colourOn(true));
    }

    @Test
    void progressIsForTerminals() {
        assertSame(Progress.SILENT, TerminalProgress.on(with(Map.of())));
        Progress progress = TerminalProgress.on(with(Map.of("BUSWITNESS_STDERR", "terminal")));
        assertTrue(progress instanceof TerminalProgress);
        TerminalProgress.end(progress);
    }

    @Test
    void shortWorkStaysQuiet() {
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        PrintStream print = new PrintStream(err, true, StandardCharsets.UTF_8);
        Progress progress = TerminalProgress.on(new Terminal(print, print, Map.of("BUSWITNESS_STDERR", "terminal")));
        progress.at("reading", 1, 2);
        TerminalProgress.end(progress);
        assertEquals("", err.toString(StandardCharsets.UTF_8));
    }

    @Test
    void progressTellsTheTimeLeft() {
        assertEquals("reading, 25 %, about 12 s left", TerminalProgress.line("reading", 25, 100, 4, 9));
        assertEquals("reading, 50 %, about 3 min left", TerminalProgress.line("reading", 50, 100, 150, 150));
        assertEquals("reading, 1 %", TerminalProgress.line("reading", 1, 100, 4, 4));
        assertEquals("weighing, 9 s so far", TerminalProgress.line("weighing", 0, -1, 4, 9));
        assertEquals("reading, 100 %, about 0 s left", TerminalProgress.line("reading", 120, 100, 4, 9));
    }
}
