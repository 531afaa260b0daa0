package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.testing.OwnProcess;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A value change dump many times larger than the memory, with the time left on the screen. By hand: 10 GB, see analysis-notes. */
@Timeout(180)
class LargeDumpTest {
    /** So many that a fast machine, too, needs longer than the second after which the time left is told. */
    private static final long BYTES = 500_000_000;

    @TempDir
    Path folder;

    /** One line at 500 kbit/s in bits of 2 us. @return changes written */
    private static long write(Path file) throws IOException {
        long changes = 0;
        long written = 0;
        try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(file), 1 << 20)) {
            out.write("$timescale 1 ns $end\n$var wire 1 ! bus $end\n$enddefinitions $end\n#0\n1!\n".getBytes(StandardCharsets.US_ASCII));
            byte[] row = new byte[24];
            long at = 0;
            for (int shift = 0xACE1; written < BYTES; changes++) {
                shift = (shift << 1 | (shift >> 15 ^ shift >> 13 ^ shift >> 12 ^ shift >> 10) & 1) & 0xFFFF;
                at += 2000L * (1 + shift % 5);
                int n = 0;
                for (long rest = at; rest > 0; rest /= 10) row[n++] = (byte) ('0' + rest % 10);
                out.write('#');
                for (int i = n - 1; i >= 0; i--) out.write(row[i]);
                out.write('\n');
                out.write((int) ('0' + changes % 2));
                out.write('!');
                out.write('\n');
                written += n + 5;
            }
        }
        return changes;
    }

    @Test
    void streamsInBoundedMemoryAndTellsTheTimeLeft() throws Exception {
        Path dump = folder.resolve("large.vcd");
        long changes = write(dump);
        assertTrue(Files.size(dump) > BYTES);
        Path out = folder.resolve("large.bwr");
        ProcessBuilder builder = OwnProcess.of(List.of("-Xmx40m"), List.of("convert", dump.toString(), out.toString()))
                .redirectErrorStream(true).redirectOutput(folder.resolve("said").toFile());
        builder.environment().putAll(Map.of("BUSWITNESS_STDERR", "terminal", "COLUMNS", "90"));
        Process process = builder.start();
        assertTrue(process.waitFor(150, TimeUnit.SECONDS));
        String said = Files.readString(folder.resolve("said"));
        assertEquals(0, process.exitValue(), said);
        assertTrue(said.matches("(?s).*\\d+ %, about \\d+ (s|min) left.*"), said);
        Files.delete(dump);
        assertTrue(Files.size(out) > changes, "about a byte a change: " + Files.size(out) + " bytes for " + changes);
    }
}
