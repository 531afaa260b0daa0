package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.capture.RecordingWriter;
import buswitness.problem.Progress;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the recorder adds and loses, and the lines beside the bus. */
class RecorderTest {
    private static final NodeBehaviour SENDER = NodeBehaviour.named("n").withDrive(Drive.CLEAN.withRinging(2, 60, 1))
            .withSends(List.of(Sending.every(0.01, 0x2A5, 8, Buses.fixed(Buses.hex("5AA50FF012345678")))));

    private static Scenario scenario(double seconds) {
        return Buses.bus(seconds, SENDER, NodeBehaviour.named("listener"));
    }

    @Test
    void stampsLieOnTheTickAndShortPulsesAreLost() {
        RecorderBehaviour fine = RecorderBehaviour.MICROSECOND.withTick(10_000);
        WireProbe sharp = WireProbe.of(scenario(0.5).withRecorder(fine));
        WireProbe coarse = WireProbe.of(scenario(0.5).withRecorder(RecorderBehaviour.MICROSECOND));
        for (int i = 0; i < coarse.edgeCount(); i++) assertEquals(0, coarse.edge(i) % 1_000_000);
        int perFrame = WireFrame.of(Buses.message(0x2A5, Buses.hex("5AA50FF012345678")),
                Buses.hex("5AA50FF012345678")).changes.length + 2;
        // Each edge back to recessive rings twice, but for the acknowledge, which is the listener's.
        assertEquals(50 * (perFrame + (perFrame / 2 - 1) * 4), sharp.edgeCount());
        assertTrue(coarse.edgeCount() >= 50 * perFrame && coarse.edgeCount() < 50 * perFrame * 1.5,
                "a pulse of 60 ns straddles a tick of 1 us now and then: " + coarse.edgeCount());
    }

    /** As {@link EdgeSink#mark} promises: every change before a mark has come, none after it; the changes are the same. */
    @Test
    void marksStandWhereTheTesterSetThem() {
        List<RecorderBehaviour.Mark> marks = List.of(new RecorderBehaviour.Mark(0, "key on"),
                new RecorderBehaviour.Mark(0.1234567, "cranking"), new RecorderBehaviour.Mark(0.3, "running"),
                new RecorderBehaviour.Mark(0.3, "idle"), new RecorderBehaviour.Mark(0.4995, "off"));
        List<Long> plain = new ArrayList<>();
        Simulations.run(scenario(0.5).withRecorder(RecorderBehaviour.MICROSECOND), listing(plain, new ArrayList<>()),
                TruthSink.NONE);
        List<Long> marked = new ArrayList<>();
        List<String> seen = new ArrayList<>();
        Simulations.run(scenario(0.5).withRecorder(RecorderBehaviour.MICROSECOND.withMarks(marks)), listing(marked, seen),
                TruthSink.NONE);
        assertTrue(plain.size() > 1000 && plain.equals(marked), "the changes differ");
        assertEquals(List.of("key on at 0", "cranking at 123456000000", "running at 300000000000", "idle at 300000000000",
                "off at 499500000000"), seen);
    }

    private static EdgeSink listing(List<Long> edges, List<String> marks) {
        return new EdgeSink() {
            private long marked = Long.MIN_VALUE;

            @Override
            public void begin(int line, long atPicos, int level) {}

            @Override
            public void edges(EdgeBlock block) {
                for (int i = 0; i < block.count; i++) {
                    assertTrue(block.atPicos[i] >= marked, "a change from before the mark");
                    edges.add(block.atPicos[i]);
                }
            }

            @Override
            public void gap(int line, long fromPicos, long untilPicos, String why) {}

            @Override
            public void mark(long atPicos, String label) {
                assertTrue(edges.isEmpty() || edges.get(edges.size() - 1) < atPicos, "a change from behind the mark");
                marked = atPicos;
                marks.add(label + " at " + atPicos);
            }

            @Override
            public void end(long atPicos) {}
        };
    }

    @Test
    void fractionalTicksDoNotDrift() {
        double tick = 1e12 / 72e6;
        WireProbe probe = WireProbe.of(scenario(0.5).withRecorder(RecorderBehaviour.MICROSECOND.withTick(tick)));
        for (int i = 0; i < probe.edgeCount(); i++) {
            assertEquals(0, Math.IEEEremainder(probe.edge(i), tick), 0.51);
        }
    }

    @Test
    void anUpsideDownRecorderSeesTheSameEdges() {
        WireProbe up = WireProbe.of(scenario(0.5));
        WireProbe down = WireProbe.of(scenario(0.5).withRecorder(
                RecorderBehaviour.MICROSECOND.withTick(1).withIdleLevel(0)));
        assertEquals(up.edgeCount(), down.edgeCount());
        assertEquals(1, up.idle);
        assertEquals(0, down.idle);
        for (int i = 0; i < up.edgeCount(); i++) {
            assertEquals(up.edge(i), down.edge(i));
            assertEquals(1 - up.levelAfter(i), down.levelAfter(i));
        }
    }

    @Test
    void aLateStartIsTheSameBusFurtherOn() {
        WireProbe whole = WireProbe.of(scenario(1));
        WireProbe late = WireProbe.of(scenario(0.5).withRecorder(
                RecorderBehaviour.MICROSECOND.withTick(1).withStart(0.3333)));
        int offset = whole.edgeCount();
        for (int i = 0; i < whole.edgeCount(); i++) {
            if (whole.edge(i) > 333_300_000_000L) {
                offset = i;
                break;
            }
        }
        for (int i = 0; i < late.edgeCount(); i++) {
            // The two starts of the clock may round differently.
            assertTrue(Math.abs(whole.edge(offset + i) - 333_300_000_000L - late.edge(i)) <= 1, "edge " + i);
        }
        assertTrue(late.edgeCount() > 1000);
    }

    @Test
    void gapsAreToldAndNothingIsSeenInThem() {
        WireProbe probe = WireProbe.of(scenario(1).withRecorder(RecorderBehaviour.MICROSECOND.withGaps(
                List.of(new RecorderBehaviour.Missed(0.2, 0.3), new RecorderBehaviour.Missed(0.9, 1.5)))));
        assertEquals(List.of("0:200000000000..300000000000", "0:900000000000..1000000000000"), probe.gaps);
        for (int i = 0; i < probe.edgeCount(); i++) {
            double at = probe.edge(i) * 1e-12;
            assertTrue(at < 0.2 || at >= 0.3 && at < 0.9);
        }
    }

    @Test
    void glitchesComeAtTheirRate() {
        int calm = WireProbe.of(scenario(10)).edgeCount();
        int more = WireProbe.of(scenario(10).withRecorder(
                RecorderBehaviour.MICROSECOND.withTick(1).withGlitches(100, 200))).edgeCount() - calm;
        // 1000 expected, two edges each; five standard deviations of a Poisson number, a few lost against edges.
        assertEquals(2000, more, 2 * 5 * Math.sqrt(1000) + 40);
    }

    /** The pulse train's frequency, the switch's bounces, and the order of lines in a written file. */
    @Test
    void furtherLinesShareTheClock(@TempDir Path folder) throws IOException {
        Scenario scenario = scenario(4).withRecorder(RecorderBehaviour.MICROSECOND).withExtraLines(List.of(
                new ExtraLine.PulseTrain("speed", new ValueSource.Constant(42.47), 0.4),
                new ExtraLine.Switch("reverse", new double[] {1, 3}, 2, 4e-4)));
        Path file = folder.resolve("lines.bwl");
        try (RecordingWriter writer = Recordings.writeLog(Files.newOutputStream(file), scenario.info())) {
            Simulations.run(scenario, writer, TruthSink.NONE);
        }
        List<List<Long>> edges = List.of(new ArrayList<>(), new ArrayList<>(), new ArrayList<>());
        Recordings.open(file, new ReadOptions(null, null)).read(new EdgeSink() {
            @Override
            public void begin(int line, long atPicos, int level) {}

            @Override
            public void edges(EdgeBlock block) {
                for (int i = 0; i < block.count; i++) edges.get(block.line).add(block.atPicos[i]);
            }

            @Override
            public void gap(int line, long fromPicos, long untilPicos, String why) {}

            @Override
            public void end(long atPicos) {}
        }, Progress.SILENT);
        List<Long> pulses = edges.get(1);
        // JIS D 5601 shaft, 637 turns a km, 4 pulses a turn: 42.47 Hz at 60 km/h (from memory, computed).
        assertEquals(1 / 42.47, (pulses.get(100) - pulses.get(0)) * 1e-12 / 50, 1e-6);
        assertEquals(0.4 / 42.47, (pulses.get(1) - pulses.get(0)) * 1e-12, 2e-6);
        assertEquals(2 * 5, edges.get(2).size());
        assertEquals(1_000_000_000_000L, edges.get(2).get(0));
        assertTrue(edges.get(0).size() > 10_000);
    }

    @Test
    void sameSeedSameBytes() {
        Scenario scenario = scenario(2).withNodes(List.of(SENDER.withDelay(new SoftwareDelay(0, 1e-4, 1e-4)),
                NodeBehaviour.named("listener")));
        assertEquals(WireProbe.of(scenario).fingerprint(), WireProbe.of(scenario).fingerprint());
        assertTrue(WireProbe.of(scenario).fingerprint() != WireProbe.of(scenario.withSeed(2)).fingerprint());
    }
}
