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

    static List<Path> scenarios() throws IOException {
        try (Stream<Path> files = Files.list(CAPTURES)) {
            return files.filter(f -> f.toString().endsWith(".scenario.yaml")).sorted().toList();
        }
    }

    @Test
    void noDemoIsMissing() throws IOException {
        List<String> names = scenarios().stream().map(f -> f.getFileName().toString()).toList();
        for (String name : List.of("two-translators", "healthy", "bad-sensor", "head-on")) {
            assertTrue(names.contains(name + ".scenario.yaml"), name);
        }
    }

    @ParameterizedTest
    @MethodSource("scenarios")
    void recordingIsWhatItsScenarioMakes(Path file) throws IOException {
        Scenario scenario = Simulations.load(file);
        ByteArrayOutputStream made = new ByteArrayOutputStream();
        try (RecordingWriter writer = Recordings.writeLog(made, scenario.info())) {
            Simulations.run(scenario, writer, TruthSink.NONE);
        }
        Path recording = CAPTURES.resolve(scenario.name() + ".bwl.gz");
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
