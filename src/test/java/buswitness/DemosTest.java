package buswitness;

import static org.junit.jupiter.api.Assertions.assertAll;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeSink;
import buswitness.clashes.Alternative;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.problem.Progress;
import buswitness.report.finding.FindingReports;
import buswitness.report.parts.ScreenStyle;
import buswitness.simulate.FrameTruth;
import buswitness.simulate.Simulations;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Every demo recording through the whole chain, as {@code prove} runs it. Which messages have how many senders is
 * taken from the truth of the scenario, not from what the chain says; symptoms and causes are those that
 * captures/README.md promises, and they follow from the scenario too: nothing here was read off a finding.
 */
class DemosTest {
    private static final Path CAPTURES = Path.of("captures");
    private static final Set<String> BY_DESIGN = Set.of("lin-shared 0x30", "lin-shared 0x3D");
    private static final String CALM = "none, none";
    private static final List<String> TERN = List.of("coolant gauge", "fuel gauge", "speedometer", "tachometer",
            "oil lamp", "charge lamp", "engine-warning lamp", "turn signal lamp", "hazard lamp");

    /** @param otherThanCalm instruments that are not as they should be, or blink as they should */
    private record Demo(Answer clash, List<String> bursts, List<String> instruments, Map<String, String> otherThanCalm) {}

    private static String saw(Symptom symptom, Cause cause) {
        return symptom.text() + ", " + cause.text();
    }

    private static Map<String, Demo> demos() {
        String fight = saw(Symptom.FLAPPING, Cause.TWO_SENDERS);
        String own = saw(Symptom.FLAPPING, Cause.OWN_READING);
        String blinks = saw(Symptom.NONE, Cause.BLINKING);
        String dropped = saw(Symptom.DROPPED_OUT, Cause.MISSING_FRAMES);
        String shaken = saw(Symptom.DROPPED_OUT, Cause.DISTURBANCE);
        String frozen = saw(Symptom.HELD, Cause.DISTURBANCE);
        String dark = saw(Symptom.NEVER_LIT, Cause.MISSING_FRAMES);
        Map<String, Demo> all = new TreeMap<>();
        all.put("two-translators", new Demo(Answer.YES, List.of("0x1D8 bit 19: 16 frames"), TERN,
                Map.of("coolant gauge", fight, "oil lamp", fight, "charge lamp", fight, "turn signal lamp", blinks)));
        all.put("healthy", new Demo(Answer.NO, List.of(), TERN, Map.of("turn signal lamp", blinks)));
        all.put("bad-sensor", new Demo(Answer.NO, List.of(), TERN,
                Map.of("coolant gauge", own, "oil lamp", own, "turn signal lamp", blinks)));
        all.put("head-on", new Demo(Answer.YES, List.of("0x1D8 bit 19: 16 frames"), TERN, Map.of("charge lamp", fight)));
        all.put("late-second", new Demo(Answer.YES, List.of(), TERN, Map.of("coolant gauge", fight, "oil lamp", fight)));
        all.put("restarts", new Demo(Answer.NO, List.of(), TERN,
                Map.of("coolant gauge", saw(Symptom.FLAPPING, Cause.RESTARTS))));
        all.put("disturbance", new Demo(Answer.NO, List.of(), TERN, Map.of("speedometer", shaken, "tachometer", shaken,
                "turn signal lamp", frozen, "hazard lamp", frozen)));
        all.put("missing-frames", new Demo(Answer.NO, List.of(), TERN,
                Map.of("coolant gauge", dropped, "oil lamp", dropped)));
        all.put("blinking", new Demo(Answer.NO, List.of(), TERN,
                Map.of("turn signal lamp", blinks, "hazard lamp", blinks)));
        all.put("pages", new Demo(Answer.NO, List.of(), List.of("fuel gauge", "outside thermometer", "service lamp"),
                Map.of()));
        all.put("lone-node", new Demo(Answer.NO, List.of(), TERN, Map.of("coolant gauge", dropped, "fuel gauge",
                saw(Symptom.HELD, Cause.MISSING_FRAMES), "speedometer", dropped, "tachometer", dropped, "oil lamp",
                dropped, "charge lamp", dropped, "engine-warning lamp", dark, "turn signal lamp", dark,
                "hazard lamp", dark)));
        List<String> gauges = List.of("coolant gauge", "oil lamp", "charge lamp");
        List<String> withFuel = List.of("coolant gauge", "oil lamp", "charge lamp", "fuel gauge");
        Map<String, String> fought = Map.of("coolant gauge", fight, "oil lamp", fight, "charge lamp", fight);
        all.put("wire-two-translators", new Demo(Answer.YES, List.of(), withFuel, fought));
        all.put("wire-healthy", new Demo(Answer.NO, List.of(), withFuel, Map.of()));
        all.put("lin-two-answers", new Demo(Answer.YES, List.of(), withFuel, fought));
        all.put("lin-healthy", new Demo(Answer.NO, List.of(), withFuel, Map.of()));
        all.put("cabin-two-units", new Demo(Answer.YES, List.of(), List.of("door lamp", "cabin thermometer"),
                Map.of("cabin thermometer", fight)));
        all.put("cabin-bad-check", new Demo(Answer.NO, List.of(), List.of("door lamp", "cabin thermometer"), Map.of()));
        all.put("lin-shared", new Demo(Answer.NO, List.of(), List.of("left door lamp", "right door lamp", "step lamp"),
                Map.of()));
        all.put("pulse-two-senders", new Demo(Answer.YES, List.of(), gauges, fought));
        all.put("pulse-healthy", new Demo(Answer.NO, List.of(), gauges, Map.of()));
        List<String> drive = List.of("coolant gauge", "range gauge", "charge lamp", "drive warning lamp");
        all.put("fd-two-senders", new Demo(Answer.YES, List.of("0x1B0 bit 23: 16 frames"), drive,
                Map.of("coolant gauge", fight, "range gauge", fight, "drive warning lamp", fight)));
        List<String> trailer = List.of("trailer lamp", "brake air gauge", "coolant gauge");
        all.put("trailer-two-senders", new Demo(Answer.YES, Collections.nCopies(13, "0x2A4 bit 14: 4 frames"), trailer,
                Map.of("trailer lamp", fight, "brake air gauge", fight)));
        all.put("trailer-healthy", new Demo(Answer.NO, List.of(), trailer, Map.of()));
        all.put("fd-healthy", new Demo(Answer.NO, List.of(), drive, Map.of()));
        all.put("marginal-bit", new Demo(Answer.NO, List.of(), TERN, Map.of()));
        return all;
    }

    static List<String> names() {
        return List.copyOf(demos().keySet());
    }

    private static Path recording(String name) {
        Path compact = CAPTURES.resolve(name + ".bwr.gz");
        return Files.exists(compact) ? compact : CAPTURES.resolve(name + ".bwl.gz");
    }

    private static Findings prove(String name) {
        AnalysisOptions plain = AnalysisOptions.of(recording(name));
        return Analysis.prove(new AnalysisOptions(plain.recording(), null, true, null, Double.NaN, plain.read()),
                Progress.SILENT);
    }

    /** Nodes that brought or tried to bring a frame of each message, by the simulator's own account. */
    private static Map<Long, Set<String>> truth(String name) {
        Map<Long, Set<String>> nodes = new TreeMap<>();
        Simulations.run(Simulations.load(CAPTURES.resolve(name + ".scenario.yaml")), EdgeSink.NOBODY, frame -> {
            for (FrameTruth.Sender s : frame.senders()) {
                nodes.computeIfAbsent(s.key(), k -> new TreeSet<>()).add(s.node());
            }
        });
        return nodes;
    }

    /** No recording lies in captures/ that this test does not know. */
    @Test
    void everyRecordingIsJudged() throws IOException {
        try (Stream<Path> files = Files.list(CAPTURES)) {
            Set<String> there = new TreeSet<>(files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith(".gz"))
                    .map(f -> f.replaceFirst("\\.bw[lr]\\.gz$", "")).toList());
            assertEquals(demos().keySet(), there);
        }
    }

    @ParameterizedTest
    @MethodSource("names")
    void findsWhatTheScenarioMade(String name) {
        Demo demo = demos().get(name);
        Findings findings = prove(name);
        assertTrue(findings.layout() != null, "the layout beside the recording is found");
        assertAll(name,
                () -> assertEquals(demo.clash(), findings.clashes().clash(), "clash on the bus"),
                () -> assertEquals(crowded(name), accused(findings), "accused messages and their senders"),
                () -> assertEquals(List.of(), undecided(findings), "messages left undecided"),
                () -> assertEquals(demo.bursts(), bursts(findings), "head-on bursts"),
                () -> assertEquals(expected(demo), shown(findings), "instruments"));
    }

    /** What two nodes leave on buses other than CAN is told where the simulator had them send at once, nowhere else. */
    @ParameterizedTest
    @ValueSource(strings = {"lin-two-answers", "pulse-two-senders", "wire-two-translators", "lin-healthy", "cabin-two-units",
        "pulse-healthy", "wire-healthy"})
    void meetingsAreThoseOfTheScenario(String name) {
        List<FrameTruth> truth = new ArrayList<>();
        Simulations.run(Simulations.load(CAPTURES.resolve(name + ".scenario.yaml")), EdgeSink.NOBODY, truth::add);
        List<Collision> told = prove(name).clashes().collisions();
        int superposed = 0;
        for (FrameTruth frame : truth) if (!frame.whole() && frame.senders().size() == 2) superposed++;
        for (Collision c : told) {
            int at = 0;
            while (Math.abs(truth.get(at).startPicos() * 1e-12 - c.atSeconds()) > 2e-6) at++;
            FrameTruth first = truth.get(at);
            if (c.kind() == Collision.Kind.SUPERPOSED) {
                assertEquals(2, first.senders().size(), "at " + c.atSeconds());
                assertTrue(!first.whole(), "at " + c.atSeconds());
            } else {
                FrameTruth second = truth.get(at + 1);
                long begins = first.startPicos();
                assertTrue(!first.senders().get(0).node().equals(second.senders().get(0).node()));
                assertTrue(first.senders().get(0).releasePicos() < begins, "the winner waited at " + c.atSeconds());
                assertTrue(second.senders().get(0).releasePicos() < begins, "the loser waited at " + c.atSeconds());
            }
        }
        if (name.equals("lin-two-answers")) assertTrue(told.size() > superposed / 3, told.size() + " of " + superposed);
        if (name.equals("cabin-two-units")) assertEquals(superposed, told.size());
        if (name.equals("pulse-two-senders")) assertTrue(told.size() >= 20, told.size() + " turns");
        if (name.endsWith("healthy")) assertEquals(List.of(), told);
    }

    /** Messages with several senders; LIN headers that several nodes answer by design are meant to have them. */
    private static List<String> crowded(String name) {
        List<String> out = new ArrayList<>();
        truth(name).forEach((key, nodes) -> {
            if (nodes.size() > 1 && !BY_DESIGN.contains(name + " " + MessageKey.text(key))) out.add(MessageKey.text(key) + " by " + nodes.size());
        });
        return out;
    }

    private static List<String> accused(Findings findings) {
        return findings.clashes().messages().stream().filter(m -> m.verdict() == Verdict.TWO_SENDERS)
                .map(m -> MessageKey.text(m.key()) + " by " + m.senders().size()).toList();
    }

    private static List<String> undecided(Findings findings) {
        return findings.clashes().messages().stream().filter(m -> m.verdict() == Verdict.UNDECIDED)
                .map(MessageFinding::key).map(MessageKey::text).toList();
    }

    private static List<String> bursts(Findings findings) {
        List<String> out = new ArrayList<>();
        for (Collision c : findings.clashes().collisions()) {
            if (c.kind() == Collision.Kind.BROKEN) out.add(MessageKey.text(c.key()) + " bit " + c.breakBit() + ": " + c.frames().size() + " frames");
        }
        return out;
    }

    private static List<String> expected(Demo demo) {
        return demo.instruments().stream().map(i -> i + ": " + demo.otherThanCalm().getOrDefault(i, CALM)).toList();
    }

    private static List<String> shown(Findings findings) {
        List<String> out = new ArrayList<>();
        for (InstrumentFinding i : findings.instruments().instruments()) {
            out.add(i.name() + ": " + saw(i.symptom(), i.cause()));
        }
        return out;
    }

    /** The scenario's second sender of supply state is the gauge translator, whose other messages have its clock. */
    @Test
    void aSenderOfAClashIsTiedToTheUnitWithItsClock() {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        FindingReports.writeScreen(prove("head-on"), new PrintStream(out, true, StandardCharsets.UTF_8),
                new ScreenStyle(1000, false, true));
        String text = out.toString(StandardCharsets.UTF_8).replace('\u00A0', ' ');
        assertTrue(text.contains("C (gauge translator): clock −22.025 ± 0.040 ppm; sends drive display (0x1A0), engine state"
                + " (0x1D0), supply state (0x1D8) and fuel state (0x1E4). Part of the clash."), text);
    }

    /** What a unit sends that browns out again and again has one sender, though no stretch of it shows a clock well. */
    @Test
    void theUnitThatRestartsIsOneSender() {
        Findings found = prove("restarts");
        Set<Integer> senders = new TreeSet<>();
        for (int id : new int[] {0x1A0, 0x1D0, 0x1D8, 0x1E4}) {
            MessageFinding m = found.clashes().message(MessageKey.can(id, false));
            senders.addAll(m.senders());
            assertTrue(m.alternatives().stream().anyMatch(a -> a.explanation().equals("the sender restarts")
                    && a.because().startsWith("It falls silent 6 times")), m.alternatives().toString());
        }
        assertEquals(1, senders.size());
        assertEquals("gauge translator", found.clashes().senders().get(senders.iterator().next()).name());
    }

    private static Map<String, Alternative.Standing> causes(String name, int id) {
        Map<String, Alternative.Standing> all = new TreeMap<>();
        for (Alternative a : prove(name).clashes().message(MessageKey.can(id, false)).alternatives()) {
            all.put(a.explanation(), a.standing());
        }
        return all;
    }

    /** Values that jump with the page number are named so; few broken frames of one message on a disturbed bus are no bit. */
    @Test
    void pagesAndDisturbanceAreNamed() {
        assertEquals(Map.of("a payload with pages", Alternative.Standing.FOUND), causes("pages", 0x2F0));
        Map<String, Alternative.Standing> slow = causes("disturbance", 0x3C0);
        assertEquals(Alternative.Standing.FOUND, slow.get("interference"), slow.toString());
        assertTrue(slow.keySet().stream().noneMatch(c -> c.contains("marginal bit")), slow.toString());
    }
}
