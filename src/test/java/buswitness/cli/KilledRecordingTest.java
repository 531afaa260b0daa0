package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.probe.Probes;
import buswitness.problem.Progress;
import buswitness.testing.OwnProcess;
import buswitness.testing.PortPair;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A {@code record} in a process of its own, killed where it stands: what it had said is on disk, to the last second. */
@Timeout(120)
class KilledRecordingTest {
    private static final Path DEMO = Path.of("captures/two-translators.bwl.gz");

    @TempDir
    Path folder;

    private Process record(PortPair pair, Path out, String... more) throws Exception {
        List<String> words = new ArrayList<>(List.of("record", pair.ours().toString(), "--out", out.toString(), "--port-speed",
                "3000000"));
        words.addAll(List.of(more));
        return OwnProcess.of(List.of("-XX:TieredStopAtLevel=1"), words).redirectErrorStream(true)
                .redirectOutput(folder.resolve("said").toFile()).start();
    }

    private static final class Times implements EdgeSink {
        final List<Long> changes = new ArrayList<>();
        final List<String> marks = new ArrayList<>();

        @Override
        public void begin(int line, long atPicos, int level) {}

        @Override
        public void edges(EdgeBlock block) {
            for (int i = 0; i < block.count; i++) changes.add(block.atPicos[i] * 2 + block.level[i]);
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {}

        @Override
        public void mark(long atPicos, String label) {
            marks.add(label);
        }

        @Override
        public void end(long atPicos) {}
    }

    private static Times times(Path file) {
        Times times = new Times();
        Recordings.open(file, ReadOptions.NONE).read(times, Progress.SILENT);
        return times;
    }

    private void await(String text) throws IOException, InterruptedException {
        Path said = folder.resolve("said");
        for (int i = 0; i < 600 && !(Files.exists(said) && Files.readString(said).contains(text)); i++) Thread.sleep(50);
        assertTrue(Files.readString(said).contains(text), Files.readString(said));
    }

    @Test
    void killedWhereItStands() throws Exception {
        Path out = folder.resolve("drive.bwr");
        try (PortPair pair = new PortPair(folder)) {
            Process recorder = record(pair, out, "--no-live");
            Thread probe = new Thread(() -> play(pair));
            probe.setDaemon(true);
            Thread.sleep(1200);
            probe.start();
            await("Recording line");
            long begin = System.nanoTime();
            Thread.sleep(5000);
            recorder.destroyForcibly();                            // SIGKILL
            double seconds = (System.nanoTime() - begin) * 1e-9;
            assertEquals(137, recorder.waitFor(), "ended by the signal and nothing else");
            Times left = times(out);
            List<Long> demo = times(DEMO).changes;
            assertEquals(demo.subList(0, left.changes.size()), left.changes);
            double last = left.changes.get(left.changes.size() - 1) / 2 * 1e-12;
            assertTrue(last > seconds - 2, "after " + seconds + " s it holds " + last + " s");
            assertTrue(left.marks.get(0).startsWith("recording started"), left.marks.toString());
            CommandRun proof = CommandRun.of("prove", out.toString(), "--layout", "captures/tern.layout.yaml");
            assertTrue(proof.status() == 1 || proof.status() == 3, "it reads as a recording: " + proof.err());
        }
    }

    /** Ctrl-C and a closing terminal end it in good order. */
    @Test
    void askedToEndItEndsWell() throws Exception {
        Path out = folder.resolve("drive.bwr");
        try (PortPair pair = new PortPair(folder)) {
            Process recorder = record(pair, out);
            Thread probe = new Thread(() -> play(pair));
            probe.setDaemon(true);
            Thread.sleep(1200);
            probe.start();
            await("Recording line");
            Thread.sleep(2500);
            recorder.destroy();                                    // SIGTERM
            assertTrue(recorder.waitFor(20, TimeUnit.SECONDS), "it ends");
            Times left = times(out);
            assertTrue(left.marks.get(left.marks.size() - 1).startsWith("recording stopped"), left.marks.toString());
            assertEquals(times(DEMO).changes.subList(0, left.changes.size()), left.changes);
        }
    }

    /** From the background of a terminal it leaves the keyboard alone: whoever reads there is stopped by the system. */
    @Test
    void inTheBackgroundOfATerminalItGoesOn() throws Exception {
        Path script = Path.of("/usr/bin/script");
        assumeTrue(Files.isExecutable(script) && Files.isExecutable(Path.of("/bin/bash")), "no script(1) and bash here");
        Path out = folder.resolve("drive.bwr");
        try (PortPair pair = new PortPair(folder)) {
            List<String> words = OwnProcess.of(List.of("-XX:TieredStopAtLevel=1"), List.of("record", pair.ours().toString(),
                    "--out", out.toString(), "--port-speed", "3000000", "--for", "4", "--no-live")).command();
            String quoted = words.stream().map(w -> "'" + w + "'").collect(java.util.stream.Collectors.joining(" "));
            Path jobs = Files.writeString(folder.resolve("jobs.sh"), "set -m\nexport BUSWITNESS_STDERR=terminal\n" + quoted
                   
                    + " &\nP=$!\n(for i in 1 2 3 4 5 6; do sleep 0.7; ps -o stat= -p $P; done > " + folder.resolve("state") + ") &\nwait\n");
            Process terminal = new ProcessBuilder(script.toString(), "-qec", "bash -i " + jobs,
                    folder.resolve("typescript").toString()).redirectErrorStream(true)
                    .redirectOutput(folder.resolve("said").toFile()).start();
            // There before the recorder is, so that its first look finds it.
            terminal.getOutputStream().write("typed for somebody else\n".getBytes(java.nio.charset.StandardCharsets.UTF_8));
            terminal.getOutputStream().flush();
            Thread.sleep(1200);
            Thread probe = new Thread(() -> play(pair));
            probe.setDaemon(true);
            probe.start();
            assertTrue(terminal.waitFor(30, TimeUnit.SECONDS), "it ends: " + Files.readString(folder.resolve("said")));
            String state = Files.readString(folder.resolve("state"));
            String told = Files.readString(folder.resolve("said"));
            assertFalse(state.contains("T") || told.contains("] stopped"), "T is a stopped process: " + state + told);
            Times left = times(out);
            assertTrue(left.changes.size() > 10_000, left.changes.size() + " changes");
            assertTrue(left.marks.get(left.marks.size() - 1).startsWith("recording stopped"), left.marks.toString());
            assertTrue(left.marks.stream().noneMatch(m -> m.contains("somebody")), left.marks.toString());
        }
    }

    private static void play(PortPair pair) {
        try {
            Probes.emulate(Recordings.open(DEMO, ReadOptions.NONE), null, pair.probes(), 1);
        } catch (buswitness.problem.InputFault gone) {
            // The pair went away under it, as it should at the end of a test.
        }
    }
}
