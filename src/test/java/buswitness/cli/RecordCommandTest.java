package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.testing.PortPair;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** {@code record} as somebody at a bench uses it, over pseudo terminals. */
@Timeout(120)
class RecordCommandTest {
    private static final String DEMO = "captures/head-on.bwl.gz";

    @TempDir
    Path folder;

    private final ByteArrayOutputStream err = new ByteArrayOutputStream();
    private final ByteArrayOutputStream out = new ByteArrayOutputStream();

    @Test
    void listNamesPortsOrSaysThatThereIsNone() {
        CommandRun run = CommandRun.of("record", "--list");
        assertEquals(0, run.status(), run.toString());
        assertEquals("", run.err());
        assertTrue(run.out().lines().count() >= 1 && run.out().lines().allMatch(line -> line.matches("\\S+  \\S.*")
                || line.equals("No serial port was found; plug the probe in.")), run.out());
    }

    @TestFactory
    Stream<DynamicTest> badWordsAreRefusedInOneLine() throws IOException {
        String there = Files.writeString(folder.resolve("old.bwr"), "keep").toString();
        String fresh = folder.resolve("new.bwr").toString();
        Map<String, String[]> cases = Map.ofEntries(
                Map.entry("names no port", new String[] {"record"}),
                Map.entry("add --out", new String[] {"record", "/dev/null"}),
                Map.entry("never overwrites", new String[] {"record", "/dev/null", "--out", there}),
                Map.entry("300 or more", new String[] {"record", "p", "--out", fresh, "--port-speed", "9"}),
                Map.entry("above 0", new String[] {"record", "p", "--out", fresh, "--for", "0"}),
                Map.entry("there is no such port", new String[] {"record", folder + "/none", "--out", fresh}),
                Map.entry("no such port", new String[] {"record", "no port has such words", "--out", fresh}),
                Map.entry("cannot serve a page", new String[] {"record", "p", "--out", fresh, "--page", "99999"}),
                Map.entry("there is no such file", new String[] {"record", "p", "--out", fresh, "--layout", "none.yaml"}),
                Map.entry("no bit rate", new String[] {"record", "p", "--out", fresh, "--rate", "fast"}),
                Map.entry("add --port PATH", new String[] {"record", "--emulate", DEMO}),
                Map.entry("speed above 0", new String[] {"record", "--emulate", DEMO, "--port", there, "--speed", "0"}),
                Map.entry("cannot be written as a port", new String[] {"record", "--emulate", DEMO, "--port",
                    folder.toString()}),
                Map.entry("check its name and folder", new String[] {"record", "--emulate", "none.bwl", "--port", fresh}));
        return cases.entrySet().stream().map(e -> DynamicTest.dynamicTest(e.getKey(), () -> {
            CommandRun run = CommandRun.of(e.getValue());
            assertTrue(run.failedInOneLine(), run.toString());
            assertTrue(run.err().contains(e.getKey()), run.err());
            assertEquals("keep", Files.readString(Path.of(there)));
            assertTrue(Files.notExists(Path.of(fresh)), "nothing is left behind");
        }));
    }

    private CompletableFuture<Integer> record(PortPair pair, Path file, Map<String, String> environment, String... more) {
        List<String> words = new ArrayList<>(List.of("record", pair.ours().toString(), "--out", file.toString()));
        words.addAll(List.of(more));
        return CompletableFuture.supplyAsync(() -> Main.run(words.toArray(String[]::new),
                new PrintStream(out, true, StandardCharsets.UTF_8), new PrintStream(err, true, StandardCharsets.UTF_8),
                environment));
    }

    /** In a thread of its own: once nobody reads any more it is stuck until the pair is gone. */
    private static void play(PortPair pair, String speed) {
        Thread probe = new Thread(() -> CommandRun.of("record", "--emulate", DEMO, "--port", pair.probes().toString(), "--speed",
                speed));
        probe.setDaemon(true);
        probe.start();
    }

    private String said() {
        return err.toString(StandardCharsets.UTF_8);
    }

    private void await(String text) throws InterruptedException {
        for (int i = 0; i < 300 && !said().contains(text); i++) Thread.sleep(50);
        assertTrue(said().contains(text), "never said: " + text + "\n" + said());
    }

    /** Lines typed at the terminal: a label is a mark, an empty line too, q ends; all of it is in the recording. */
    @Test
    void keysSetMarksAndEnd() throws Exception {
        Path file = folder.resolve("drive.bwr");
        InputStream before = System.in;
        try (PortPair pair = new PortPair(folder); PipedOutputStream keys = new PipedOutputStream()) {
            System.setIn(new PipedInputStream(keys));
            var recording = record(pair, file, Map.of("BUSWITNESS_STDERR", "terminal", "TERM", "dumb"), "--port-speed",
                    "3000000", "--note", "engine warm", "--no-live");
            Thread.sleep(500);
            var playing = CompletableFuture.supplyAsync(() -> CommandRun.of("record", "--emulate", DEMO, "--port",
                    pair.probes().toString(), "--speed", "4"));
            await("Recording line 'body bus'");
            keys.write("ignition on\n\n".getBytes(StandardCharsets.UTF_8));
            keys.flush();
            await("s: mark");
            assertEquals(0, playing.get(60, TimeUnit.SECONDS).status());
            Thread.sleep(300);
            keys.write("q\n".getBytes(StandardCharsets.UTF_8));
            keys.flush();
            assertEquals(0, recording.get(20, TimeUnit.SECONDS), said());
        } finally {
            System.setIn(before);
        }
        assertTrue(out.toString(StandardCharsets.UTF_8).startsWith("Written: " + file), out.toString());
        CommandRun proof = CommandRun.of("prove", file.toString(), "--layout", "captures/tern.layout.yaml");
        assertEquals(1, proof.status(), proof.err());
        assertTrue(proof.out().contains(": ignition on") && proof.out().contains(": mark")
                && proof.out().contains("Note: engine warm"), proof.out());
    }

    /** 57,600 bit/s is too little for this bus; once some seconds say so, it is said, once. */
    @Test
    void aPortThatIsTooSlowIsSaid() throws Exception {
        try (PortPair pair = new PortPair(folder)) {
            var recording = record(pair, folder.resolve("drive.bwr"), Map.of(), "--port-speed", "57600", "--for", "7");
            Thread.sleep(500);
            play(pair, "1");
            assertEquals(0, recording.get(30, TimeUnit.SECONDS), said());
            assertEquals(1, said().lines().filter(line -> line.matches("The port is \\d+ % full; beyond that the probe will miss"
                    + " changes\\..*")).count(), said());
            assertTrue(said().lines().anyMatch(line -> line.startsWith("0:00:0") && line.contains("port ")), "a plain line: " + said());
            assertFalse(said().contains("\u001B"), "no terminal, no control sequences");
        }
    }

    /** On a terminal the screen is rewritten in place, with the wanted width, and the marks' line below is left alone. */
    @Test
    void onATerminalTheScreenStaysInPlace() throws Exception {
        InputStream before = System.in;
        try (PortPair pair = new PortPair(folder); PipedOutputStream keys = new PipedOutputStream()) {
            System.setIn(new PipedInputStream(keys));
            var recording = record(pair, folder.resolve("drive.bwr"), Map.of("BUSWITNESS_STDERR", "terminal", "COLUMNS", "70",
                    "LINES", "24"), "--port-speed", "3000000", "--layout", "captures/tern.layout.yaml", "--for", "11");
            Thread.sleep(500);
            play(pair, "3");
            assertEquals(0, recording.get(60, TimeUnit.SECONDS), said());
        } finally {
            System.setIn(before);
        }
        String last = said().substring(said().lastIndexOf("\u001B[H"));
        List<String> lines = last.replaceAll("\u001B\\[[0-9;]*[A-Za-z]|\u001B[78]", "").lines().toList();
        assertTrue(lines.size() <= 24, lines.size() + " lines");
        assertTrue(lines.stream().allMatch(line -> line.length() < 70), lines.toString());
        assertTrue(last.contains("Two senders clash") && last.contains("The recording has ended."), last);
        assertTrue(lines.stream().anyMatch(line -> line.startsWith("Damaged frames: ") && line.contains("in all")), last);
        assertTrue(said().contains("\u001B7\u001B[H") && said().contains("\u001B8"), "the cursor goes back to what is being typed");
    }
}
