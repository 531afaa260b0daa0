package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import java.util.zip.GZIPInputStream;
import java.util.zip.GZIPOutputStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Each demo recording is what its scenario makes, byte for byte once unpacked (two gzip libraries may pack the same bytes
 * differently). With {@code -Dbuswitness.remake=true} the recordings are written anew instead.
 */
class DemoRecordingsTest {
    private static final Path CAPTURES = Path.of("captures");
    private static final long MOST_BYTES = 1_000_000;
    /** Demos kept in the text form; the others in the compact one. */
    private static final List<String> AS_TEXT = List.of("two-translators", "healthy", "bad-sensor", "head-on");

    static List<Path> scenarios() throws IOException {
        try (Stream<Path> files = Files.list(CAPTURES)) {
            return files.filter(f -> f.toString().endsWith(".scenario.yaml")).sorted().toList();
        }
    }

    @Test
    void noDemoIsMissing() throws IOException {
        List<String> names = scenarios().stream().map(f -> f.getFileName().toString()).toList();
        for (String name : List.of("two-translators", "healthy", "bad-sensor", "head-on", "late-second", "restarts",
                "disturbance", "missing-frames", "blinking", "pages", "lone-node", "marginal-bit")) {
            assertTrue(names.contains(name + ".scenario.yaml"), name);
        }
    }

    @ParameterizedTest
    @MethodSource("scenarios")
    void recordingIsWhatItsScenarioMakes(Path file) throws IOException {
        Scenario scenario = Simulations.load(file);
        ByteArrayOutputStream made = new ByteArrayOutputStream();
        try (RecordingWriter writer = AS_TEXT.contains(scenario.name()) ? Recordings.writeLog(made, scenario.info())
                : Recordings.writeCompact(made, scenario.info())) {
            Simulations.run(scenario, writer, TruthSink.NONE);
        }
        Path recording = CAPTURES.resolve(scenario.name() + (AS_TEXT.contains(scenario.name()) ? ".bwl.gz" : ".bwr.gz"));
        if (Boolean.getBoolean("buswitness.remake")) {
            try (OutputStream out = new GZIPOutputStream(Files.newOutputStream(recording))) {
                out.write(made.toByteArray());
            }
        }
        assertTrue(Files.size(recording) < MOST_BYTES, recording + " is too large");
        try (InputStream in = new GZIPInputStream(Files.newInputStream(recording))) {
            assertArrayEquals(in.readAllBytes(), made.toByteArray(), recording + " differs from its scenario");
        }
    }

    /** What captures/README.md says of each demo is so in its truth. */
    @Test
    void theDemosHoldWhatTheyPromise() {
        WireProbe both = WireProbe.of(Simulations.load(CAPTURES.resolve("two-translators.scenario.yaml")));
        assertEquals(List.of(0x1D0L, 0x1D8L), sharedBy(both, "engine unit", "gauge translator"));
        assertEquals(16, damaged(both));
        WireProbe healthy = WireProbe.of(Simulations.load(CAPTURES.resolve("healthy.scenario.yaml")));
        assertEquals(List.of(), sharedBy(healthy, "engine unit", "gauge translator"));
        assertEquals(0, damaged(healthy));
        WireProbe sensor = WireProbe.of(Simulations.load(CAPTURES.resolve("bad-sensor.scenario.yaml")));
        assertEquals(List.of(), sharedBy(sensor, "engine unit", "gauge translator"));
        WireProbe headOn = WireProbe.of(Simulations.load(CAPTURES.resolve("head-on.scenario.yaml")));
        assertEquals(16, damaged(headOn));
        assertEquals(List.of(0x1D8L), sharedBy(headOn, "engine unit", "gauge translator"));
        WireProbe late = WireProbe.of(Simulations.load(CAPTURES.resolve("late-second.scenario.yaml")));
        assertEquals(List.of(0x1D0L, 0x1D8L), sharedBy(late, "gauge translator", "spare translator"));
        assertEquals(0, damaged(late));
    }

    /** Nobody is there to acknowledge: no frame is ever whole, and it is the same one over and over. */
    @Test
    void theLoneNodeNeverGetsThrough() {
        WireProbe lone = WireProbe.of(Simulations.load(CAPTURES.resolve("lone-node.scenario.yaml")));
        assertEquals(lone.frames.size(), damaged(lone));
        assertEquals(List.of("engine unit"), lone.frames.stream().flatMap(f -> f.senders().stream())
                .map(FrameTruth.Sender::node).distinct().toList());
    }

    /** Every broken frame of the weak driver is its own, and each broke at the same bit. */
    @Test
    void theMarginalBitIsOneBitOfOneSender() {
        WireProbe marginal = WireProbe.of(Simulations.load(CAPTURES.resolve("marginal-bit.scenario.yaml")));
        List<FrameTruth> broken = marginal.frames.stream().filter(f -> !f.whole()).toList();
        assertTrue(broken.size() > 30, broken.size() + " broken");
        assertEquals(List.of("gauge translator 19"), broken.stream().flatMap(f -> f.senders().stream())
                .map(s -> s.node() + " " + s.brokeAtBit()).distinct().toList());
    }

    /** Interference spares no message; from 9.1 s to 10.5 s nothing gets through. */
    @Test
    void theDisturbanceHitsEveryMessage() {
        WireProbe disturbed = WireProbe.of(Simulations.load(CAPTURES.resolve("disturbance.scenario.yaml")));
        long hit = disturbed.frames.stream().filter(f -> !f.whole()).flatMap(f -> f.senders().stream())
                .map(FrameTruth.Sender::key).distinct().count();
        assertTrue(hit >= 8, hit + " messages hit");
        assertEquals(0, disturbed.frames.stream().filter(f -> f.whole() && f.startPicos() > 9_100_000_000_000L
                && f.startPicos() < 10_500_000_000_000L).count());
    }

    private static long damaged(WireProbe probe) {
        return probe.frames.stream().filter(f -> !f.whole()).count();
    }

    private static List<Long> sharedBy(WireProbe probe, String one, String other) {
        return keysOf(probe, one).stream().filter(keysOf(probe, other)::contains)
                .map(buswitness.frames.MessageKey::identifier).toList();
    }

    private static List<Long> keysOf(WireProbe probe, String node) {
        return probe.frames.stream().flatMap(f -> f.senders().stream()).filter(s -> s.node().equals(node))
                .map(FrameTruth.Sender::key).distinct().sorted().toList();
    }
}
