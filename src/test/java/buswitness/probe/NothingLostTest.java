package buswitness.probe;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Progress;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** Full disks, sleep, pulled cables and set clocks, on a bench of our own. What was recorded stays; what is unknown is a gap. */
@Timeout(60)
class NothingLostTest {
    /** Blocks of a second. */
    private static final int SECOND = 156;
    private static final int CHANGES = 63;

    @TempDir
    Path folder;

    private final List<String> said = new ArrayList<>();
    private final RecordControl control = new RecordControl(said::add);

    private record Gap(double fromSeconds, double untilSeconds, String why) {}

    /** What reads back. */
    private static final class Told implements EdgeSink {
        long changes;
        double last;
        double lastMarkSeconds;
        final List<Gap> gaps = new ArrayList<>();
        final List<String> marks = new ArrayList<>();
        final List<Double> spacings = new ArrayList<>();
        private long before = -1;

        @Override
        public void begin(int line, long atPicos, int level) {
            before = -1;
        }

        @Override
        public void edges(EdgeBlock block) {
            changes += block.count;
            for (int i = 0; i < block.count; i++) {
                if (before >= 0 && spacings.size() < 100_000) spacings.add((block.atPicos[i] - before) * 1e-6);
                before = block.atPicos[i];
            }
            if (block.count > 0) last = before * 1e-12;
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {
            gaps.add(new Gap(fromPicos * 1e-12, untilPicos * 1e-12, why));
            before = -1;
        }

        @Override
        public void mark(long atPicos, String label) {
            marks.add(label);
            lastMarkSeconds = Math.max(lastMarkSeconds, atPicos * 1e-12);
        }

        @Override
        public void end(long atPicos) {
            last = Math.max(last, atPicos * 1e-12);
        }
    }

    private Told told(FakeBench bench) throws IOException {
        Path file = Files.write(folder.resolve("disk.bwr"), bench.disk.toByteArray());
        Told told = new Told();
        Recordings.open(file, ReadOptions.NONE).read(told, Progress.SILENT);
        // Within what was recorded, changes are 100 us apart, or 200 where a block begins: never anything else.
        assertTrue(told.spacings.stream().allMatch(s -> Math.abs(s - 100) < 1e-6 || Math.abs(s - 200) < 1e-6),
                "a time was shifted");
        return told;
    }

    private RecordSummary record(FakeBench bench) {
        bench.atEnd(control::stop);
        return Probes.record(new RecordOptions("fake", 3_000_000, folder.resolve("out.bwr"), Double.POSITIVE_INFINITY), control,
                bench.bench());
    }

    @Test
    void aFullDiskEndsTheRecordingInOneLineAndKeepsWhatWasThere() throws IOException {
        FakeBench bench = new FakeBench().blocks(20 * SECOND).diskTakes(50_000);
        InputFault fault = assertThrows(InputFault.class, () -> record(bench));
        assertTrue(fault.getMessage().contains("No space left on device") && fault.getMessage().contains("recorded before is whole")
                && !fault.getMessage().contains("\n"), fault.getMessage());
        Told told = told(bench);
        assertTrue(bench.forced >= 3 && told.changes >= bench.forced * (SECOND - 1L) * CHANGES,
                told.changes + " changes read back, forced " + bench.forced + " times");
        assertTrue(told.last >= bench.forced, "whole up to the last second: " + told.last + " s of " + bench.forced);
    }

    /** The probe lost its power too and counts from anew: the computer's clock, sleep included, tells how long the gap is. */
    @Test
    void asleepWithAProbeThatBeginsAnew() throws IOException {
        FakeBench bench = new FakeBench().blocks(3 * SECOND).sleep(300, -1).stale().blocks(2 * SECOND);
        record(bench);
        Told told = told(bench);
        assertEquals(1, told.gaps.size(), told.gaps.toString());
        assertEquals(300, told.gaps.get(0).untilSeconds - told.gaps.get(0).fromSeconds, 0.1);
        assertEquals(3.0, told.gaps.get(0).fromSeconds, 0.05);
        assertEquals("probe began anew; length by the computer's clock", told.gaps.get(0).why);
        assertEquals((5L * SECOND + 1) * CHANGES, told.changes, 2 * CHANGES);
        assertEquals(2, bench.opened, "the port is opened anew, so that nothing from before the sleep is left in it");
        assertEquals(1, said.stream().filter(s -> s.equals("This computer slept for about 300 s; the recording goes on behind a"
                + " gap.")).count(), said.toString());
    }

    /** The probe's counter stood still with the computer: its ticks go on without a hole, and yet time was lost. */
    @Test
    void asleepWithAProbeThatStoodStill() throws IOException {
        FakeBench bench = new FakeBench().blocks(3 * SECOND).sleep(300, 0).blocks(2 * SECOND);
        record(bench);
        Told told = told(bench);
        assertEquals(1, told.gaps.size(), told.gaps.toString());
        assertEquals(300, told.gaps.get(0).untilSeconds - told.gaps.get(0).fromSeconds, 0.1);
    }

    /** The probe counted on: its ticks tell the gap's length exactly, whatever the computer's clock says. */
    @Test
    void asleepWithAProbeThatCountedOn() throws IOException {
        FakeBench bench = new FakeBench().blocks(3 * SECOND).sleep(300, 300_250_000L).blocks(2 * SECOND);
        record(bench);
        Told told = told(bench);
        assertEquals(1, told.gaps.size(), told.gaps.toString());
        assertEquals(300.25, told.gaps.get(0).untilSeconds - told.gaps.get(0).fromSeconds, 0.007, "one block at most is left out");
        assertEquals("the port was gone", told.gaps.get(0).why);
    }

    @Test
    void aClockThatWasSetIsNoSleep() {
        AtomicLong wall = new AtomicLong(1_000_000_000_000L);
        AtomicLong steady = new AtomicLong(77);
        AtomicLong up = new AtomicLong(500_000_000_000L);
        SystemClock clock = new SystemClock(wall::get, steady::get, up::get);
        SystemClock unsure = new SystemClock(wall::get, steady::get, () -> -1);
        assertEquals(0, clock.slept() + unsure.slept());
        for (AtomicLong each : List.of(wall, steady, up)) each.addAndGet(100_000_000L);
        assertEquals(0, clock.slept() + unsure.slept());
        wall.addAndGet(3_600_000_000_000L);
        assertEquals(0, clock.slept(), "set by an hour: the system was not up any longer");
        assertEquals(3_600_000_000_000L, unsure.slept(), "where the system does not say, a jump counts as sleep");
        wall.addAndGet(60_000_000_000L);
        up.addAndGet(60_000_000_000L);
        long before = clock.nanos();
        assertEquals(60_000_000_000L, clock.slept());
        assertEquals(0, clock.slept());
        assertEquals(before + 60_000_000_000L, clock.nanos());
        wall.addAndGet(-9_000_000_000_000L);
        assertEquals(0, clock.slept(), "set back");
    }

    /** A mark set while the cable is out is on disk without waiting for the cable. */
    @Test
    void marksWhileTheCableIsOutAreKeptAtOnce() throws IOException {
        List<Told> meanwhile = new ArrayList<>();
        FakeBench bench = new FakeBench();
        bench.blocks(2 * SECOND).pull().idle(3).then(() -> control.mark("pulled plug C")).idle(1.5).then(() -> {
            try {
                meanwhile.add(told(bench));
            } catch (IOException e) {
                throw new AssertionError(e);
            }
        }).plug().blocks(SECOND);
        record(bench);
        assertTrue(meanwhile.get(0).marks.contains("pulled plug C"), meanwhile.get(0).marks.toString());
        Told told = told(bench);
        assertTrue(told.gaps.stream().mapToDouble(g -> g.untilSeconds - g.fromSeconds).sum() > 4, told.gaps.toString());
        assertEquals(3L * SECOND * CHANGES, told.changes);
        assertTrue(said.contains("The port is gone; the recording goes on when it comes back (a gap stays)."), said.toString());
    }

    /** The probe hangs with the cable in: the silence is a gap, a mark in it is on disk, and the recording ends behind it. */
    @Test
    void aProbeThatFallsSilentLeavesAGap() throws IOException {
        List<Told> meanwhile = new ArrayList<>();
        FakeBench bench = new FakeBench();
        bench.blocks(2 * SECOND).idle(3).then(() -> control.mark("wiggled plug C")).idle(1.5).then(() -> {
            try {
                meanwhile.add(told(bench));
            } catch (IOException e) {
                throw new AssertionError(e);
            }
        });
        record(bench);
        assertTrue(meanwhile.get(0).marks.contains("wiggled plug C"), meanwhile.get(0).marks.toString());
        Told told = told(bench);
        assertEquals(2L * SECOND * CHANGES, told.changes);
        assertEquals(2.0, told.gaps.get(0).fromSeconds, 0.05);
        assertEquals(6.5, told.gaps.get(told.gaps.size() - 1).untilSeconds, 0.1);
        assertTrue(told.gaps.stream().allMatch(g -> g.why.equals("the probe was silent")), told.gaps.toString());
        assertTrue(told.lastMarkSeconds <= told.last, told.lastMarkSeconds + " s lies behind the end, " + told.last + " s");
        assertEquals(1, said.stream().filter(s -> s.equals("Nothing comes from the probe any more; check its supply and its plug"
                + " (a gap stays).")).count(), said.toString());
    }

    /** --for holds whether the probe speaks or not. */
    @Test
    void theTimeIsUpForASilentProbeToo() throws IOException {
        FakeBench bench = new FakeBench().blocks(SECOND).idle(20);
        bench.atEnd(() -> {
            throw new AssertionError("went on behind its time");
        });
        RecordSummary s = Probes.record(new RecordOptions("fake", 3_000_000, folder.resolve("for.bwr"), 5), control, bench.bench());
        assertEquals(5, s.seconds(), 0.1);
    }

    /** A mark is set in the block that is still to come, and the recording ends before it: nothing may stand behind the end. */
    @Test
    void aMarkAtTheVeryEndStandsInTheRecording() throws IOException {
        FakeBench bench = new FakeBench().blocks(SECOND).idle(0.3).then(() -> control.mark("last")).then(control::stop);
        record(bench);
        Told told = told(bench);
        assertTrue(told.marks.contains("last"), told.marks.toString());
        assertTrue(told.lastMarkSeconds <= told.last, told.lastMarkSeconds + " s lies behind the end, " + told.last + " s");
    }

    @Test
    void startStopAndNotesAreKept() throws IOException {
        FakeBench bench = new FakeBench().blocks(SECOND).atEnd(control::stop);
        Probes.record(new RecordOptions("fake", 3_000_000, folder.resolve("o.bwr"), 100, List.of("engine warm")), control,
                bench.bench());
        Told told = told(bench);
        assertTrue(told.marks.get(0).matches("recording started 20\\d\\d-\\d\\d-\\d\\d \\d\\d:\\d\\d:\\d\\d UTC"), told.marks.toString());
        assertTrue(told.marks.get(told.marks.size() - 1).startsWith("recording stopped 20"), told.marks.toString());
        assertEquals("engine warm", Recordings.open(folder.resolve("disk.bwr"), ReadOptions.NONE).info().notes().get(0));
    }

    /** Whoever looks on and fails does not end the recording. */
    @Test
    void aLiveViewThatFailsIsLeftBehind() throws IOException {
        control.watch(info -> new EdgeSink() {
            @Override
            public void begin(int line, long atPicos, int level) {}

            @Override
            public void edges(EdgeBlock block) {
                throw new IllegalStateException("on purpose");
            }

            @Override
            public void gap(int line, long fromPicos, long untilPicos, String why) {}

            @Override
            public void end(long atPicos) {}
        });
        FakeBench bench = new FakeBench().blocks(2 * SECOND);
        record(bench);
        assertEquals(2L * SECOND * CHANGES, told(bench).changes);
        assertTrue(said.stream().anyMatch(s -> s.startsWith("The live view failed")), said.toString());
    }

    /** A port nearly full is warned of once and in time; the summary tells how full it was. */
    @Test
    void thePortsHeadroomIsMeasuredAndWarnedOf() throws IOException {
        RecordSummary easy = record(new FakeBench().blocks(8 * SECOND));
        assertTrue(easy.busiestShare() > 0.01 && easy.busiestShare() < 0.2, easy.busiestShare() + " of 3 Mbit/s");
        assertTrue(said.stream().noneMatch(line -> line.contains("full")), said.toString());
        double bits = easy.busiestShare() * 3_000_000;
        for (double share : new double[] {0.7, 0.9}) {
            said.clear();
            RecordControl other = new RecordControl(said::add);
            FakeBench bench = new FakeBench().blocks(8 * SECOND).atEnd(other::stop);
            RecordSummary s = Probes.record(new RecordOptions("fake", (int) Math.round(bits / share),
                    folder.resolve("full" + share + ".bwr"), Double.POSITIVE_INFINITY), other, bench.bench());
            assertEquals(share, s.busiestShare(), 0.02);
            long warned = said.stream().filter(line -> line.equals("The port is 90 % full; beyond that the probe will miss "
                    + "changes. Use a faster port or a probe with a coarser tick.")).count();
            assertEquals(share > 0.8 ? 1 : 0, warned, said.toString());
        }
    }
}
