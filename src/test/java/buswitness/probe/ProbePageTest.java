package buswitness.probe;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The page of C in captures/probe-protocol.md compiles as printed, and what it sends is what the recorder understands. */
@Timeout(60)
class ProbePageTest {
    private static final Path GCC = Path.of("/usr/bin/gcc");
    private static final Path BOARD = Path.of("src/test/resources/vectors/probe/board.c").toAbsolutePath();
    private static final int CHANGES = 40_000;

    @TempDir
    Path folder;

    @BeforeEach
    void write() throws IOException {
        assumeTrue(Files.isExecutable(GCC), "gcc is not installed; ./verify installs it");
        Matcher code = Pattern.compile("(?s)```c\n(.*?)```").matcher(Files.readString(Path.of("captures/probe-protocol.md")));
        assertTrue(code.find(), "the page holds code");
        Files.writeString(folder.resolve("probe.c"), code.group(1));
    }

    private void run(Path out, String... words) throws IOException, InterruptedException {
        Path log = folder.resolve("log");
        Process process = new ProcessBuilder(words).directory(folder.toFile()).redirectError(log.toFile())
                .redirectOutput(out.toFile()).start();
        assertTrue(process.waitFor(40, TimeUnit.SECONDS), "ends");
        assertEquals(0, process.exitValue(), Files.readString(log));
        assertEquals("", Files.readString(log));
    }

    @Test
    void compilesWithoutAWarning() throws IOException, InterruptedException {
        run(folder.resolve("out"), GCC.toString(), "-std=c99", "-Wall", "-Wextra", "-Werror", "-fsyntax-only", "probe.c");
    }

    @Test
    void whatItSendsIsUnderstoodToTheTick() throws IOException, InterruptedException {
        run(folder.resolve("out"), GCC.toString(), "-std=c99", "-Wall", "-O1", "-o", "probe", "probe.c", BOARD.toString());
        run(folder.resolve("sent"), folder.resolve("probe").toString());
        List<Long> heard = new ArrayList<>();
        long[] until = {-1};
        int[] holes = {0};
        long[] hertz = {0};
        LineDecoder decoder = new LineDecoder(new LineDecoder.Listener() {
            @Override
            public void info(long ticks, String name) {
                hertz[0] = ticks;
            }

            @Override
            public void changes(long since, int level, boolean missed, long[] after, int count) {
                if (until[0] >= 0 && since != until[0] || missed) holes[0]++;
                long at = since;
                int now = level;
                for (int i = 0; i < count - 1; i++) {
                    at += after[i];
                    now ^= 1;
                    heard.add(at * 2 + now);
                }
                until[0] = at + after[count - 1];
            }
        });
        byte[] sent = Files.readAllBytes(folder.resolve("sent"));
        decoder.feed(sent, sent.length);
        assertEquals(72_000_000, hertz[0]);
        assertEquals(0, decoder.damaged + decoder.lost + holes[0], "damaged, lost, holes");
        assertEquals(board(), heard);
    }

    /** The made-up board's changes once more. */
    private static List<Long> board() {
        List<Long> all = new ArrayList<>();
        int shift = 0xACE1;
        long at = 12345 + 5000;
        int level = 1;
        for (int i = 0; i < CHANGES; i++) {
            level ^= 1;
            all.add(at * 2 + level);
            shift = (shift << 1 | (shift >> 15 ^ shift >> 13 ^ shift >> 12 ^ shift >> 10) & 1) & 0xFFFF;
            at += shift % 800 == 0 ? shift * 500L + 1 : (1 + shift % 5) * 576L + shift % 7;
        }
        return all;
    }
}
