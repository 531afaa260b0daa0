package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A value change dump that an HDL simulator wrote (Debian's iverilog), from a bench of ours, read to the last change. */
@Timeout(120)
class HdlSimulatorTest {
    private static final Path COMPILER = Path.of("/usr/bin/iverilog");
    private static final Path RUNNER = Path.of("/usr/bin/vvp");
    private static final Path BENCH = Path.of("src/test/resources/vectors/hdl/toggle.v").toAbsolutePath();
    private static final int TOGGLES = 20_000;
    /** The bench's precision. */
    private static final long NANO = 1000;

    @TempDir
    Path folder;

    private void run(String... words) throws IOException, InterruptedException {
        Path log = folder.resolve("log");
        Process process = new ProcessBuilder(words).directory(folder.toFile()).redirectErrorStream(true)
                .redirectOutput(log.toFile()).start();
        assertTrue(process.waitFor(60, TimeUnit.SECONDS), "ends");
        assertEquals(0, process.exitValue(), Files.readString(log));
    }

    @Test
    void everyChangeOfASimulatedLineIsReadExactly() throws IOException, InterruptedException {
        assumeTrue(Files.isExecutable(COMPILER) && Files.isExecutable(RUNNER),
                "iverilog is not installed; ./verify installs it");
        run(COMPILER.toString(), "-o", "toggle.vvp", BENCH.toString());
        run(RUNNER.toString(), "toggle.vvp");
        Recording recording = Recordings.open(folder.resolve("toggle.vcd"), ReadOptions.NONE);
        int line = recording.chooseLine("line");
        List<String> wanted = new ArrayList<>();
        wanted.add(line + ": begin 0 1");
        long at = 0;
        int shift = 0xACE1;
        int level = 1;
        for (int i = 0; i < TOGGLES; i++) {
            // A delay of n tenths of 10 ns is n times 1 ns.
            at += (shift % 997 + 1) * NANO;
            level ^= 1;
            wanted.add(line + ": " + at + " " + level);
            int bit = shift >> 15 ^ shift >> 13 ^ shift >> 12 ^ shift >> 10;
            shift = (shift << 1 | bit & 1) & 0xFFFF;
        }
        long unknown = at + 500 * NANO;
        wanted.add(line + ": gap " + unknown + " " + (unknown + 500 * NANO));
        wanted.add(line + ": begin " + (unknown + 500 * NANO) + " 0");
        wanted.add(line + ": gap " + (unknown + 750 * NANO) + " " + (unknown + 1000 * NANO));
        wanted.add(line + ": begin " + (unknown + 1000 * NANO) + " 1");
        List<String> told = Given.read(recording).lines(recording.info().lines().size()).stream()
                .filter(text -> text.startsWith(line + ":")).map(text -> text.replaceFirst("(gap \\d+ \\d+).*", "$1")).toList();
        assertEquals(wanted.size(), told.size(), "last: " + told.subList(Math.max(0, told.size() - 5), told.size()));
        assertEquals(wanted, told);
        assertEquals(1000, recording.info().tickPicos(), "the simulator's precision, 1 ns");
    }
}
