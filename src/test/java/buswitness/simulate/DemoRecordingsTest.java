package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.AnalysisOptions;
import buswitness.capture.ReadOptions;
import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import buswitness.plan.Entry;
import buswitness.plan.Outcome;
import buswitness.plan.Plan;
import buswitness.plan.Plans;
import buswitness.plan.Step;
import buswitness.problem.Progress;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import java.util.zip.GZIPInputStream;
import java.util.zip.GZIPOutputStream;
import org.junit.jupiter.api.MethodOrderer;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestMethodOrder;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Each demo recording is what its scenario makes, byte for byte once unpacked (two gzip libraries may pack the same bytes
 * differently), and the workshop's evidence is what its recordings give. With {@code -Dbuswitness.remake=true} those that
 * differ are written anew instead.
 */
@TestMethodOrder(MethodOrderer.OrderAnnotation.class)
class DemoRecordingsTest {
    private static final Path CAPTURES = Path.of("captures");
    private static final List<Path> FOLDERS = List.of(CAPTURES, CAPTURES.resolve("workshop"), CAPTURES.resolve("learning"));
    private static final long MOST_BYTES = 1_000_000;
    /** Demos kept in the text form; the others in the compact one. */
    private static final List<String> AS_TEXT = List.of("two-translators", "healthy", "bad-sensor", "head-on", "learning");

    static List<Path> scenarios() throws IOException {
        List<Path> out = new ArrayList<>();
        for (Path folder : FOLDERS) {
            try (Stream<Path> files = Files.list(folder)) {
                out.addAll(files.filter(f -> f.toString().endsWith(".scenario.yaml")).sorted().toList());
            }
        }
        return out;
    }

    @Test
    void noDemoIsMissing() throws IOException {
        List<String> names = scenarios().stream().map(f -> f.getFileName().toString()).toList();
        for (String name : List.of("two-translators", "healthy", "bad-sensor", "head-on", "late-second", "restarts",
                "disturbance", "missing-frames", "blinking", "pages", "lone-node", "marginal-bit", "idle", "complaint", "key-on", "key-off",
                "key-off-first", "speed", "learning")) {
            assertTrue(names.contains(name + ".scenario.yaml"), name);
        }
    }

    @Order(1)
    @ParameterizedTest
    @MethodSource("scenarios")
    void recordingIsWhatItsScenarioMakes(Path file) throws IOException {
        Scenario scenario = Simulations.load(file);
        ByteArrayOutputStream made = new ByteArrayOutputStream();
        try (RecordingWriter writer = AS_TEXT.contains(scenario.name()) ? Recordings.writeLog(made, scenario.info())
                : Recordings.writeCompact(made, scenario.info())) {
            Simulations.run(scenario, writer, TruthSink.NONE);
        }
        Path recording = file.resolveSibling(scenario.name() + (AS_TEXT.contains(scenario.name()) ? ".bwl.gz" : ".bwr.gz"));
        if (Boolean.getBoolean("buswitness.remake") && !(Files.exists(recording)
                && Arrays.equals(unpacked(recording), made.toByteArray()))) {
            try (OutputStream out = new GZIPOutputStream(Files.newOutputStream(recording))) {
                out.write(made.toByteArray());
            }
        }
        assertTrue(Files.size(recording) < MOST_BYTES, recording + " is too large");
        assertArrayEquals(unpacked(recording), made.toByteArray(), recording + " differs from its scenario");
    }

    private static byte[] unpacked(Path packed) throws IOException {
        try (InputStream in = new GZIPInputStream(Files.newInputStream(packed))) {
            return in.readAllBytes();
        }
    }

    /** The unit that passed: every step of the workshop's plan, judged anew from the recordings, at the times then told. */
    @Order(2)
    @Test
    void theWorkshopsEvidenceIsWhatItsRecordingsGive(@TempDir Path folder) throws IOException {
        Path workshop = CAPTURES.resolve("workshop");
        Plan plan = Plans.load(workshop.resolve("tern.plan.yaml"));
        Path made = folder.resolve("made.jsonl");
        String by = "A. Fitter";
        Map<String, String> unit = new LinkedHashMap<>();
        unit.put("firmware", "1.4");
        unit.put("wiring revision", "C");
        unit.put("bench or car", "car");
        unit.put("tester", by);
        // One pass of a minute or two, a few seconds from step to step.
        Instant start = Instant.parse("2026-11-25T11:39:32Z");
        evidence(made, plan, Plans.unit("TT-0040", unit, at(start)));
        String[][] recorded = {{"bulb check", "key-on.bwr.gz"}, {"outside temperature", "key-on.bwr.gz"},
            {"starter", "key-on.bwr.gz"}, {"lamps go out", "key-on.bwr.gz"}, {"the bus at idle", "idle.bwr.gz"},
            {"speedometer", "speed.bwr.gz"}, {"oil pressure shut-down", "shut-down.bwl"}, {"falls asleep", "key-off.bwr.gz"}};
        for (String[] r : recorded) {
            start = start.plusSeconds(r[0].equals("lamps go out") ? 60 : 3);
            Step step = plan.step(r[0]);
            AnalysisOptions options = new AnalysisOptions(workshop.resolve(r[1]), null, false, null, Double.NaN,
                    ReadOptions.NONE);
            evidence(made, plan, Plans.fromRecording(plan, step, "TT-0040", options, by, "", at(start), Progress.SILENT));
            if (step.person() != null) {
                evidence(made, plan, Plans.fromPerson(plan, step, "TT-0040", true, by, "", at(start)));
            }
            if (step.parts().contains(Step.Part.READINGS)) {
                evidence(made, plan, Plans.fromReadings(plan, step, "TT-0040",
                        workshop.resolve("speedometer.readings.csv"), by, "", at(start)));
            }
            if (!r[0].equals("starter")) continue;
            start = start.plusSeconds(20);
            evidence(made, plan, Plans.fromPerson(plan, plan.step("injector"), "TT-0040", true, "B. Helper", "", at(start)));
        }
        Path kept = workshop.resolve("tt-0040.evidence.jsonl");
        if (Boolean.getBoolean("buswitness.remake")) Files.copy(made, kept, StandardCopyOption.REPLACE_EXISTING);
        assertEquals(Files.readString(kept), Files.readString(made));
        assertEquals(Outcome.PASS, Plans.state(plan, Plans.evidence(kept, plan), "TT-0040").outcome());
    }

    private static Clock at(Instant instant) {
        return Clock.fixed(instant, ZoneOffset.UTC);
    }

    private static void evidence(Path file, Plan plan, Entry entry) {
        Plans.add(file, plan, List.of(entry));
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
