package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.zip.GZIPInputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Recordings from one form to another and back: what both forms can hold comes back byte by byte. */
class ConvertTest {
    /** Two lines, a gap with its reason, a mark, notes, and a tick of a 72 MHz counter (125000/9 ps). */
    private static final String RICH = """
            buswitness-log 1
            tick: 72 MHz
            unit: us
            line: bus
            line: switch
            note: engine off, key on
            changes:
            0 1 1
            0 2 0
            1000 1 0
            1008 1 1
            1032 1 0
            2000 1 gap since 1500 overrun
            2000 1 1
            2500 mark fan switched on
            2600 2 1
            3000 end
            """;

    @TempDir
    Path folder;

    private String file(String name) {
        return folder.resolve(name).toString();
    }

    private void convert(String in, String out) {
        CommandRun run = CommandRun.of("convert", file(in), file(out));
        assertEquals(new CommandRun(0, "Written: " + file(out) + "\n", ""), run);
    }

    private byte[] bytes(String name) throws IOException {
        return Files.readAllBytes(folder.resolve(name));
    }

    @Test
    void logAndCompactRecordingKeepEverything() throws IOException {
        Files.writeString(folder.resolve("hand.bwl"), RICH);
        convert("hand.bwl", "first.bwl");
        convert("first.bwl", "there.bwr");
        convert("there.bwr", "packed.bwr.gz");
        convert("packed.bwr.gz", "back.bwl");
        assertArrayEquals(bytes("first.bwl"), bytes("back.bwl"));
        String back = Files.readString(folder.resolve("back.bwl"));
        for (String kept : new String[] {"engine off, key on", "overrun", "fan switched on", "switch"}) {
            assertTrue(back.contains(kept), kept);
        }
        assertArrayEquals(bytes("there.bwr"),
                new GZIPInputStream(new ByteArrayInputStream(bytes("packed.bwr.gz"))).readAllBytes());
    }

    @Test
    void aDumpKeepsAllButReasonsOfGaps() throws IOException {
        Files.writeString(folder.resolve("hand.bwl"), RICH);
        convert("hand.bwl", "first.bwl");
        convert("first.bwl", "dump.vcd");
        convert("dump.vcd", "back.bwl");
        String first = Files.readString(folder.resolve("first.bwl"));
        String back = Files.readString(folder.resolve("back.bwl"));
        assertEquals(first.lines().filter(line -> !line.contains(" gap ")).toList(),
                back.lines().filter(line -> !line.contains(" gap ")).toList());
        assertEquals(1, back.lines().filter(line -> line.contains(" 1 gap since ")).count(), back);
    }

    /** A whole demo recording through every form comes out as it went in: VCD and CSV hold all that is in it. */
    @ParameterizedTest
    @ValueSource(strings = {"a.bwr", "a.vcd", "a.vcd.gz", "a.csv", "a.csv.gz"})
    void aDemoRecordingSurvivesEveryForm(String through) throws IOException {
        Path demo = Path.of("captures/head-on.bwl.gz");
        assertEquals(0, CommandRun.of("convert", demo.toString(), file("in.bwl")).status());
        convert("in.bwl", through);
        convert(through, "out.bwl");
        assertEquals(changes("in.bwl"), changes("out.bwl"));
        assertTrue(changes("in.bwl").length() > 100_000, "the recording is not trivial");
    }

    private String changes(String name) throws IOException {
        String all = Files.readString(folder.resolve(name));
        return all.substring(all.indexOf("changes:"));
    }

    @Test
    void aFileIsReplacedOnlyAfterSuccess() throws IOException {
        Files.writeString(folder.resolve("old.vcd"), "keep me");
        Files.writeString(folder.resolve("bad.bwl"), RICH.replace("1032 1 0", "1032 1 maybe"));
        CommandRun run = CommandRun.of("convert", file("bad.bwl"), file("old.vcd"));
        assertTrue(run.failedInOneLine(), run.err());
        assertEquals("keep me", Files.readString(folder.resolve("old.vcd")));
        try (var left = Files.list(folder)) {
            assertEquals(2, left.count());
        }
        Files.writeString(folder.resolve("same.bwl"), RICH);
        assertTrue(CommandRun.of("convert", file("same.bwl"), file("same.bwl")).failedInOneLine());
        assertEquals(RICH, Files.readString(folder.resolve("same.bwl")));
    }

    @Test
    void theFormIsSaidByNameOrOption() throws IOException {
        Files.writeString(folder.resolve("hand.bwl"), RICH);
        CommandRun none = CommandRun.of("convert", file("hand.bwl"), file("out.txt"));
        assertTrue(none.failedInOneLine() && none.err().contains("--form"), none.err());
        assertFalse(Files.exists(folder.resolve("out.txt")));
        assertEquals(0, CommandRun.of("convert", file("hand.bwl"), file("out.txt"), "--form", "vcd").status());
        assertTrue(Files.readString(folder.resolve("out.txt")).contains("$enddefinitions"));
        CommandRun out = CommandRun.of("convert", file("hand.bwl"), "-", "--form", "csv");
        assertEquals(0, out.status());
        assertTrue(out.out().startsWith("time_s,bus,switch"), out.out());
    }
}
