package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CalibrateCommandTest {
    @TempDir
    Path folder;

    private final ByteArrayOutputStream out = new ByteArrayOutputStream();
    private final ByteArrayOutputStream err = new ByteArrayOutputStream();

    private int run(String... args) {
        return CommandLines.execute(new Terminal(new PrintStream(out, true, StandardCharsets.UTF_8),
                new PrintStream(err, true, StandardCharsets.UTF_8), Map.of()), args);
    }

    @Test
    void writesItsTables() throws IOException {
        Path rates = folder.resolve("rates");
        int status = run("calibrate", "--buses", "1", "--most-frames", "300", "--out", rates.toString());
        assertTrue(status == 0 || status == 1, err.toString(StandardCharsets.UTF_8));
        assertTrue(Files.readString(rates.resolve("buses.csv")).startsWith("seed,kind,"));
        assertTrue(Files.readString(rates.resolve("rates.csv")).contains("false accusations"));
        assertTrue(Files.readString(rates.resolve("error-rates.md")).contains("2 buses of 2"));
        for (String plot : new String[] {"detection.svg", "false-accusations.svg", "attribution.svg"}) {
            assertTrue(Files.readString(rates.resolve(plot)).startsWith("<svg "), plot);
        }
    }

    @Test
    void recordingOfOneBusCanBeProved() {
        Path recording = folder.resolve("bus.bwr");
        int status = run("calibrate", "--only", "1000000", "--most-frames", "300", "--recording", recording.toString());
        assertTrue(status == 0 || status == 1, err.toString(StandardCharsets.UTF_8));
        assertTrue(run("prove", recording.toString()) != 2, err.toString(StandardCharsets.UTF_8));
    }

    @Test
    void saysWhatIsMissing() {
        assertEquals(2, run("calibrate", "--buses", "3"));
        assertEquals(2, run("calibrate", "--buses", "0", "--out", folder.resolve("x").toString()));
        assertEquals(2, run("calibrate", "--buses", "1", "--out", folder.toString(), "--recording", "x.bwl"));
        String said = err.toString(StandardCharsets.UTF_8);
        assertTrue(said.contains("--out") && said.contains("buses: 0") && said.contains("--only"), said);
    }
}
