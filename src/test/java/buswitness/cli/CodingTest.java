package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Which bus a recording is: told on the screen and in the JSON, overridden by {@code --coding}, a wrong guess visible. */
class CodingTest {
    @TempDir
    static Path folder;

    private static String recording;

    @BeforeAll
    static void record() {
        recording = folder.resolve("lin.bwl").toString();
        CommandRun made = CommandRun.of("simulate", "captures/lin-healthy.scenario.yaml", "--out", recording);
        assertEquals(0, made.status(), made.err());
    }

    /** The screen wraps where it likes. */
    private static String flat(String text) {
        return text.replaceAll("\\s+", " ");
    }

    @Test
    void recognisedWithItsConfidence() {
        CommandRun run = CommandRun.of("decode", recording);
        assertEquals(0, run.status(), run.err());
        String out = flat(run.out());
        assertTrue(out.contains("LIN at 9.6 kbit/s"), out.substring(Math.max(0, out.length() - 300)));
        assertTrue(out.contains("Recognised as LIN, confidence 100.0 %. Nothing else fits."), out.substring(Math.max(0, out.length() - 300)));
    }

    @Test
    void inTheJson() {
        CommandRun run = CommandRun.of("prove", recording, "--no-layout", "--json", "-");
        assertTrue(run.out().contains("\"coding\" : \"lin\"") || run.out().contains("\"coding\": \"lin\"")
                || run.out().contains("\"coding\":\"lin\""), run.out().substring(0, 800));
        assertTrue(run.out().contains("\"coding_given\"") && run.out().contains("\"coding_confidence\""));
        assertTrue(run.out().contains("\"coding_explains\""));
    }

    @Test
    void aWrongWordIsVisible() {
        CommandRun run = CommandRun.of("decode", recording, "--coding", "can");
        String out = flat(run.out());
        assertTrue(out.contains("Read as CAN, as told"), out.substring(Math.max(0, out.length() - 400)));
        assertTrue(out.contains("It could be LIN"), out.substring(Math.max(0, out.length() - 400)));
        assertTrue(out.contains("--coding lin reads it so"), out.substring(Math.max(0, out.length() - 400)));
        assertTrue(run.err().contains("as LIN it would be"), run.err());
    }

    @Test
    void anUnknownWordIsOneLine() {
        CommandRun run = CommandRun.of("decode", recording, "--coding", "lon");
        assertTrue(run.failedInOneLine(), run.out() + run.err());
        assertTrue(run.err().contains("no bus is named 'lon'") && run.err().contains("iso14230"), run.err());
    }

    @Test
    void theLayoutsOwnFormatByName() {
        String wire = folder.resolve("wire.bwl").toString();
        assertEquals(0, CommandRun.of("simulate", "captures/wire-healthy.scenario.yaml", "--out", wire).status());
        CommandRun run = CommandRun.of("decode", wire, "--layout", "captures/comfort-wire.layout.yaml", "--coding", "comfort-wire");
        assertEquals(0, run.status(), run.err());
        assertTrue(flat(run.out()).contains("0 damaged, in 40 s; Comfort wire at 10 kbit/s"), run.out().substring(Math.max(0, run.out().length() - 300)));
        CommandRun without = CommandRun.of("decode", wire, "--no-layout", "--coding", "comfort-wire");
        assertTrue(without.failedInOneLine(), without.out() + without.err());
    }
}
