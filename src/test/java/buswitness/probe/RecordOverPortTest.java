package buswitness.probe;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recording;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Progress;
import buswitness.testing.PortPair;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** An emulated probe on one end of a pair of pseudo terminals, the recorder on the other. */
@Timeout(120)
class RecordOverPortTest {
    private static final Path DEMO = Path.of("captures/head-on.bwl.gz");

    @TempDir
    Path folder;

    private final List<String> said = new ArrayList<>();
    private PortPair pair;
    private Path ours;
    private Path probes;

    @BeforeEach
    void plugIn() throws IOException, InterruptedException {
        pair = new PortPair(folder);
        ours = pair.ours();
        probes = pair.probes();
    }

    @AfterEach
    void unplug() {
        if (pair != null) pair.close();
    }

    private static Recording open(Path file) {
        return Recordings.open(file, ReadOptions.NONE);
    }

    /** Every change as time and level, gaps and marks apart. */
    private static final class Told implements EdgeSink {
        final List<String> changes = new ArrayList<>();
        final List<String> beside = new ArrayList<>();

        @Override
        public void begin(int line, long atPicos, int level) {}

        @Override
        public void edges(EdgeBlock block) {
            for (int i = 0; i < block.count; i++) changes.add(block.atPicos[i] + " " + block.level[i]);
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {
            beside.add("gap " + why);
        }

        @Override
        public void mark(long atPicos, String label) {
            beside.add("mark " + label.replaceAll(" 20\\d\\d-.*", ""));
        }

        @Override
        public void end(long atPicos) {
            beside.add("end");
        }
    }

    private static Told told(Path file) {
        Told told = new Told();
        open(file).read(told, Progress.SILENT);
        return told;
    }

    private RecordControl control() {
        return new RecordControl(line -> {
            synchronized (said) {
                said.add(line);
            }
        });
    }

    private CompletableFuture<RecordSummary> recording(Path out, RecordControl control) {
        return CompletableFuture.supplyAsync(() -> Probes.record(new RecordOptions(ours.toString(), 3_000_000, out,
                Double.POSITIVE_INFINITY), control));
    }

    private static void stop(RecordControl control) throws InterruptedException {
        Thread.sleep(1500);                                     // what is on its way arrives, and one more force to disk
        control.stop();
    }

    @Test
    void whatTheProbeSendsIsOnDiskWithItsMarks() throws Exception {
        Path out = folder.resolve("drive.bwr");
        RecordControl control = control();
        var done = recording(out, control);
        Thread.sleep(800);
        control.mark("too early, kept until the probe speaks");
        Probes.emulate(open(DEMO), null, probes, 6);
        control.mark("ignition on");
        stop(control);
        RecordSummary summary = done.get(20, TimeUnit.SECONDS);
        assertEquals(told(DEMO).changes, told(out).changes);
        assertEquals(told(DEMO).changes.size(), summary.changes());
        assertEquals(0, summary.gaps() + summary.damagedBlocks() + summary.lostBlocks());
        assertTrue(told(out).beside.contains("mark ignition on"), told(out).beside.toString());
        assertEquals("end", told(out).beside.get(told(out).beside.size() - 1));
        assertTrue(summary.busiestShare() > 0 && summary.busiestShare() < 1);
    }

    /** While it records, a copy of the file reads back up to the last second: what a power cut would leave. */
    @Test
    void theFileIsWholeUpToTheLastSecondAtAnyTime() throws Exception {
        Path out = folder.resolve("drive.bwr");
        RecordControl control = control();
        var done = recording(out, control);
        Thread.sleep(800);
        var playing = CompletableFuture.runAsync(() -> Probes.emulate(open(DEMO), null, probes, 1));
        Thread.sleep(4500);
        Path copy = Files.copy(out, folder.resolve("copy.bwr"));
        Told half = told(copy);
        Told demo = told(DEMO);
        assertEquals(demo.changes.subList(0, half.changes.size()), half.changes);
        long last = Long.parseLong(half.changes.get(half.changes.size() - 1).split(" ")[0]);
        assertTrue(last > 2.2e12, "4.5 s after its start it holds " + last * 1e-12 + " s");
        playing.get(60, TimeUnit.SECONDS);
        stop(control);
        done.get(20, TimeUnit.SECONDS);
        assertEquals(demo.changes, told(out).changes);
    }

    @Test
    void aCablePulledLeavesAGapAndTheRecordingGoesOn() throws Exception {
        Path out = folder.resolve("drive.bwr");
        RecordControl control = control();
        var done = recording(out, control);
        Thread.sleep(800);
        Probes.emulate(open(DEMO), null, probes, 20);
        Thread.sleep(1500);
        pair.pull();
        Thread.sleep(700);
        pair.connect();
        Thread.sleep(1200);
        Probes.emulate(open(DEMO), null, probes, 20);
        stop(control);
        RecordSummary summary = done.get(20, TimeUnit.SECONDS);
        assertTrue(said.toString().contains("port is gone") && said.toString().contains("port is open again"), said.toString());
        int once = told(DEMO).changes.size();
        Told all = told(out);
        assertEquals(told(DEMO).changes, all.changes.subList(0, once));
        assertEquals(2 * once, all.changes.size());
        assertEquals(List.of("mark recording started", "gap probe began anew; length by the computer's clock",
                "mark recording stopped", "end"), all.beside);
        assertEquals(1, summary.gaps());
    }

    @Test
    void nothingIsOverwrittenAndSilenceIsToldInOneLine() throws Exception {
        Path out = Files.writeString(folder.resolve("old.bwr"), "keep");
        RecordOptions onto = new RecordOptions(ours.toString(), 115_200, out, 1);
        assertTrue(assertThrows(InputFault.class, () -> Probes.record(onto, control())).what().contains("never overwrites"));
        assertEquals("keep", Files.readString(out));
        RecordOptions silent = new RecordOptions(ours.toString(), 115_200, folder.resolve("new.bwr"), 1);
        assertTrue(assertThrows(InputFault.class, () -> Probes.record(silent, control())).what().contains("line protocol"));
        assertTrue(Files.notExists(folder.resolve("new.bwr")));
        RecordOptions nowhere = new RecordOptions(folder.resolve("none").toString(), 115_200, folder.resolve("n.bwr"), 1);
        assertTrue(assertThrows(InputFault.class, () -> Probes.record(nowhere, control())).what().contains("there is no such port"));
    }
}
