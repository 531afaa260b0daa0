package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.testing.WireRecordings;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The main command from its words to its status and its files. */
class ProveTest {
    @TempDir
    static Path folder;

    private static Path one;
    private static Path two;

    @BeforeAll
    static void record() throws IOException {
        one = WireRecordings.oneSender(folder.resolve("one.bwl"), 30);
        two = WireRecordings.twoSenders(folder.resolve("two.bwl"), 30);
    }

    @Test
    void statusTellsTheVerdict() {
        CommandRun clash = CommandRun.of("prove", two.toString());
        assertEquals(1, clash.status());
        assertTrue(clash.out().startsWith("Two senders clash on this bus.\n"), clash.out());
        assertEquals("", clash.err());
        CommandRun none = CommandRun.of("prove", one.toString());
        assertEquals(0, none.status(), none.out());
        assertEquals("", none.err());
    }

    @Test
    void aFileOnStandardOutputSendsTheScreenToStandardError() throws IOException {
        Path json = folder.resolve("two.json");
        CommandRun toFile = CommandRun.of("prove", two.toString(), "--json", json.toString());
        CommandRun toOut = CommandRun.of("prove", two.toString(), "--json", "-");
        assertEquals(Files.readString(json), toOut.out());
        assertTrue(toOut.out().startsWith("{"), toOut.out());
        assertTrue(toOut.err().startsWith("Two senders clash on this bus.\n"));
        assertTrue(toFile.out().endsWith("Written: " + json + "\n"));
    }

    @Test
    void sameInputSameBytes() {
        assertEquals(CommandRun.of("prove", two.toString(), "--frames", "-"),
                CommandRun.of("prove", two.toString(), "--frames", "-"));
        assertEquals(CommandRun.of("prove", two.toString()), CommandRun.of("prove", two.toString()));
    }

    @Test
    void colourOnlyOnATerminal() {
        Map<String, String> terminal = Map.of("BUSWITNESS_STDOUT", "terminal", "TERM", "xterm");
        String coloured = CommandRun.with(terminal, "prove", two.toString()).out();
        assertTrue(coloured.contains("\u001B["), coloured);
        assertFalse(CommandRun.of("prove", two.toString()).out().contains("\u001B"));
        assertEquals(CommandRun.of("prove", two.toString()).out(), coloured.replaceAll("\u001B\\[[0-9;]*m", ""));
    }

    @Test
    void narrowScreensAreRespected() {
        for (String columns : new String[] {"30", "40", "60", "120"}) {
            String out = CommandRun.with(Map.of("COLUMNS", columns), "prove", two.toString()).out();
            for (String line : out.split("\n")) {
                // A word that is wider than the screen, such as a sum or a path, cannot be broken.
                String longest = longestWord(line);
                assertTrue(line.length() <= Math.max(Integer.parseInt(columns), longest.length() + 8), line);
            }
        }
    }

    private static String longestWord(String line) {
        String longest = "";
        for (String word : line.strip().split("\\s+")) if (word.length() > longest.length()) longest = word;
        return longest;
    }

    @Test
    void anInputIsNeverOverwritten() throws IOException {
        byte[] before = Files.readAllBytes(two);
        CommandRun refused = CommandRun.of("prove", two.toString(), "--json", two.toString());
        assertTrue(refused.failedInOneLine(), refused.toString());
        assertEquals(before.length, Files.size(two));
    }

    @Test
    void aLayoutBesideTheRecordingIsUsedAndSaidSo() throws IOException {
        Path own = Files.createDirectories(folder.resolve("beside"));
        Path recording = Files.copy(two, own.resolve("drive.bwl"));
        Path layout = Files.writeString(own.resolve("drive.layout.yaml"), """
                nodes: [engine unit]
                messages:
                  engine state: {id: 0x1D0, from: engine unit, every: 100 ms}
                """);
        CommandRun found = CommandRun.of("prove", recording.toString());
        assertTrue(found.out().contains("engine state"), found.out());
        assertTrue(found.out().contains("Layout: " + layout + " (found beside the recording;"), found.out());
        CommandRun without = CommandRun.of("prove", recording.toString(), "--no-layout");
        assertFalse(without.out().contains("engine state"), without.out());
        CommandRun clobber = CommandRun.of("prove", recording.toString(), "--json", layout.toString());
        assertTrue(clobber.failedInOneLine(), clobber.toString());
        assertTrue(Files.readString(layout).startsWith("nodes:"));
    }

    @Test
    void decodeListsEveryFrame() {
        CommandRun listing = CommandRun.of("decode", one.toString());
        CommandRun table = CommandRun.of("decode", one.toString(), "--frames", "-");
        assertEquals(0, listing.status());
        assertEquals(0, table.status());
        assertTrue(table.out().startsWith("time_s,id,data,whole,fault,sender\r\n"), table.out());
        long rows = table.out().lines().count() - 1;
        assertEquals(900, rows, "300 + 600 releases in 30 s");
        assertEquals(rows, listing.out().lines().filter(l -> l.matches("\\s*\\d+\\.\\d{6}  0x.*")).count());
    }
}
