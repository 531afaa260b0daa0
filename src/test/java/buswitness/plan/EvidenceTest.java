package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The evidence file: chained, resumable, never half written, guarded. */
class EvidenceTest {
    private static final Clock CLOCK = Clock.fixed(Instant.parse("2026-11-25T10:15:30.4Z"), ZoneOffset.UTC);
    private static final String STEPS = """
              lamp: {stage: running, do: Look., judge: [{person: "Is it lit?"}]}
              temperature: {stage: running, do: Record., judge: [{signal: coolant, between: 80..95}, {person: "Warm?"}]}
            """.indent(2);

    @TempDir
    Path folder;

    private Plan plan() throws IOException {
        return Scene.plan(folder, STEPS);
    }

    private Path threeEntries() throws IOException {
        Path file = folder.resolve("e.jsonl");
        Plan plan = plan();
        Plans.add(file, plan, List.of(Plans.unit("GT-1", Map.of("firmware", "1.4"), CLOCK)));
        Plans.add(file, plan, List.of(Plans.fromPerson(plan, plan.steps().get(0), "GT-1", true, "A. Fitter", "", CLOCK)));
        return file;
    }

    @Test
    void everyLineIsChainedAsThePageSays() throws Exception {
        List<String> lines = Files.readAllLines(threeEntries());
        assertEquals(3, lines.size());
        String before = "0".repeat(64);
        for (String line : lines) {
            String hash = line.substring(10, 74);
            String entry = line.substring(line.indexOf("\"entry\":") + 8, line.length() - 1);
            // As captures/plan-format.md tells it, with nothing of the program.
            byte[] sum = MessageDigest.getInstance("SHA-256").digest((before + entry).getBytes(StandardCharsets.UTF_8));
            assertEquals(HexFormat.of().formatHex(sum), hash);
            before = hash;
        }
        assertEquals(before, Plans.evidence(folder.resolve("e.jsonl"), plan()).lastHash());
        assertTrue(lines.get(0).contains("\"format\":\"buswitness-evidence/1\""));
        assertTrue(lines.get(2).contains("\"at\":\"2026-11-25T10:15:30Z\""), "ISO 8601, whole seconds");
    }

    @Test
    void anyChangedByteIsFoundAndNamed() throws IOException {
        Path file = threeEntries();
        byte[] good = Files.readAllBytes(file);
        Plan plan = plan();
        for (int at = 0; at < good.length; at++) {
            byte[] bad = good.clone();
            bad[at] ^= 1;
            Files.write(file, bad);
            InputFault fault = assertThrows(InputFault.class, () -> Plans.evidence(file, plan), "byte " + at);
            assertTrue(fault.getMessage().contains("e.jsonl"), fault.getMessage());
        }
        String text = new String(good, StandardCharsets.UTF_8);
        Files.writeString(file, text.replace("\"part\":\"person\",\"outcome\":\"pass\"", "\"part\":\"person\",\"outcome\":\"fail\""));
        InputFault fault = assertThrows(InputFault.class, () -> Plans.evidence(file, plan()));
        assertEquals(3, fault.place().line());
        assertTrue(fault.what().contains("does not fit the chain"), fault.what());
        List<String> lines = text.lines().toList();
        Files.writeString(file, lines.get(0) + "\n" + lines.get(2) + "\n");
        assertEquals(2, assertThrows(InputFault.class, () -> Plans.evidence(file, plan())).place().line(), "a lost line");
        Files.writeString(file, text.substring(0, text.length() - 5));
        assertTrue(assertThrows(InputFault.class, () -> Plans.evidence(file, plan())).what().contains("cut short"));
        // Nothing can be added to a broken chain, and nothing of it is lost.
        byte[] before = Files.readAllBytes(file);
        assertThrows(InputFault.class, () -> Plans.add(file, plan(), List.of(Plans.unit("X", Map.of(), CLOCK))));
        assertEquals(HexFormat.of().formatHex(before), HexFormat.of().formatHex(Files.readAllBytes(file)));
    }

    /** The limit of the chain, said plainly: whoever writes the whole file anew is seen only on a printed hash. */
    @Test
    void aFileWrittenAnewShowsOnlyAgainstAPrintedHash() throws IOException {
        String printed = Plans.evidence(threeEntries(), plan()).lastHash();
        Evidence grown = Plans.add(folder.resolve("e.jsonl"), plan(), List.of(Plans.unit("GT-1", Map.of("tester", "B"), CLOCK)));
        assertEquals(3, Plans.printedAfter(grown, printed), "what was printed is still there");
        Path forged = folder.resolve("forged.jsonl");
        Plan plan = plan();
        Evidence other = Plans.add(forged, plan, List.of(Plans.unit("GT-1", Map.of("firmware", "9"), CLOCK)));
        assertEquals(2, Plans.evidence(forged, plan).entries().size(), "its own chain is in order");
        assertEquals(0, Plans.printedAfter(other, printed));
    }

    @Test
    void isResumedWhereItWasLeft() throws IOException {
        Path file = threeEntries();
        Plan plan = plan();
        CheckState state = Plans.state(plan, Plans.evidence(file, plan), "GT-1");
        assertEquals(Outcome.PASS, state.step("lamp").outcome());
        assertEquals(Outcome.OPEN, state.step("temperature").outcome());
        assertEquals("1.4", state.fields().get("firmware"));
        assertEquals(List.of("wiring revision", "bench or car", "tester"), state.missing());
        assertEquals(Outcome.OPEN, Plans.state(plan, Plans.evidence(file, plan), "GT-2").step("lamp").outcome(),
                "another unit has a record of its own");
        Plans.add(file, plan, List.of(Plans.fromPerson(plan, plan.steps().get(0), "GT-1", false, "A. Fitter", "dark", CLOCK)));
        CheckState later = Plans.state(plan, Plans.evidence(file, plan), "GT-1");
        assertEquals(Outcome.FAIL, later.step("lamp").outcome(), "the last result counts");
        assertEquals(Outcome.FAIL, later.outcome());
        assertEquals(5, later.evidence().entries().size() + 1, "and the first one stays in the file");
    }

    @Test
    void aChangedStepIsOpenAgain() throws IOException {
        Path file = threeEntries();
        Plan commented = Scene.plan(folder, STEPS.replace("lamp: {", "# a remark\n    lamp:   {"));
        assertEquals(Outcome.PASS, Plans.state(commented, Plans.evidence(file, commented), "GT-1").step("lamp").outcome());
        Plan changed = Scene.plan(folder, STEPS.replace("Is it lit?", "Is it bright?"));
        CheckState.StepState step = Plans.state(changed, Plans.evidence(file, changed), "GT-1").step("lamp");
        assertEquals(Outcome.OPEN, step.outcome());
        assertEquals("the step", step.parts().get(0).stale());
    }

    @Test
    void anotherFirmwareOpensEveryStepAgainAndAnotherTesterDoesNot() throws IOException {
        Path file = threeEntries();
        Plan plan = plan();
        Plans.add(file, plan, List.of(Plans.unit("GT-1", Map.of("tester", "A", "firmware", "1.4"), CLOCK)));
        Plans.add(file, plan, List.of(Plans.unit("GT-1", Map.of("tester", "B"), CLOCK)));
        assertEquals(Outcome.PASS, Plans.state(plan, Plans.evidence(file, plan), "GT-1").step("lamp").outcome());
        Plans.add(file, plan, List.of(Plans.unit("GT-1", Map.of("firmware", "1.5"), CLOCK)));
        CheckState.StepState step = Plans.state(plan, Plans.evidence(file, plan), "GT-1").step("lamp");
        assertEquals(Outcome.OPEN, step.outcome());
        assertEquals("the unit's firmware", step.parts().get(0).stale());
    }

    @Test
    void twoRunsAtOnceLoseNothing() throws IOException, InterruptedException, ExecutionException {
        Path file = folder.resolve("busy.jsonl");
        Plan plan = plan();
        ExecutorService pool = Executors.newFixedThreadPool(8);
        List<Future<?>> all = new ArrayList<>();
        for (int i = 0; i < 24; i++) {
            String serial = "GT-" + i;
            all.add(pool.submit(() -> Plans.add(file, plan, List.of(Plans.unit(serial, Map.of("firmware", "1"), CLOCK)))));
        }
        for (Future<?> f : all) f.get();
        pool.shutdown();
        assertEquals(24, Plans.evidence(file, plan).serials().size());
        try (Stream<Path> left = Files.list(folder)) {
            assertFalse(left.anyMatch(p -> p.toString().endsWith(".part")), "no part file stays behind");
        }
    }

    @Test
    void whatIsNoEvidenceIsRefusedWithItsLine() throws IOException {
        Path file = folder.resolve("e.jsonl");
        Map<String, String> bad = Map.of("prose\n", "is no line of an evidence file", "{}\n", "is no line of an evidence file",
                "\n", "is no line of an evidence file", "x", "is cut short: its last line does not end");
        for (Map.Entry<String, String> b : bad.entrySet()) {
            Files.writeString(file, b.getKey());
            assertEquals(b.getValue(), assertThrows(InputFault.class, () -> Plans.evidence(file, plan())).what());
        }
        for (String entry : List.of("[]", "{\"kind\":\"unit\"}",
                "{\"kind\":\"begun\",\"format\":\"buswitness-evidence/9\",\"plan\":\"p\",\"at\":\"\"}",
                "{\"kind\":", "{\"kind\":7}", "{\"kind\":\"result\",\"judgements\":{}}", "{\"kind\":\"begun\"}{}")) {
            Files.writeString(file, "{\"chain\":\"" + EvidenceFile.link("0".repeat(64), entry) + "\",\"entry\":" + entry + "}\n");
            InputFault fault = assertThrows(InputFault.class, () -> Plans.evidence(file, plan()), entry);
            assertEquals(1, fault.place().line(), entry);
        }
        Files.deleteIfExists(file);
        Plans.add(file, Scene.plan(folder, STEPS), List.of(Plans.unit("A", Map.of(), CLOCK)));
        Path other = folder.resolve("other.plan.yaml");
        Files.writeString(other, Files.readString(folder.resolve("invented.plan.yaml")).replace("plan: invented", "plan: other"));
        assertTrue(assertThrows(InputFault.class, () -> Plans.evidence(file, Plans.load(other))).what().contains("another plan"));
    }

    @Test
    void entriesComeBackAsTheyWere() throws IOException {
        Judgement j = new Judgement("coolant \"hot\"\n", "80 to 95", 87.25, 0.288675134, "°C", Outcome.UNDECIDED, Double.NaN, 3.5,
                "says \u2028 this");
        Entry.Result r = new Entry.Result("GT ü", "a step", Step.Part.RECORDING, "s", "l", "2026-11-25T10:15:30Z", "", "r.bwl", "h",
                Outcome.UNDECIDED, List.of(j), "n");
        assertEquals(r, EvidenceJson.read(EvidenceJson.write(r)));
        assertEquals(null, EvidenceJson.read("{\"kind\":\"something of a newer program\"}"));
    }
}
