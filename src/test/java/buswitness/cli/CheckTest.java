package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** check from the command line: draft, fill, resume, sheet, later recording, and what is refused. */
class CheckTest {
    private static final Path WORKSHOP = Path.of("captures/workshop");

    @TempDir
    Path folder;

    private String plan;

    @BeforeEach
    void copyTheWorkshop() throws IOException {
        try (Stream<Path> files = Files.list(WORKSHOP)) {
            for (Path f : files.filter(Files::isRegularFile).toList()) {
                if (!f.toString().contains(".evidence.")) Files.copy(f, folder.resolve(f.getFileName()));
            }
        }
        plan = folder.resolve("tern.plan.yaml").toString();
    }

    private CommandRun check(String... words) {
        String[] all = Stream.concat(Stream.of("check"), Stream.of(words)).toArray(String[]::new);
        return CommandRun.of(all);
    }

    private String file(String name) {
        return folder.resolve(name).toString();
    }

    @Test
    void draftsAPlanThatLoads() throws IOException {
        CommandRun drafted = check("--new", file("installed.layout.yaml"), "--out", file("new.plan.yaml"));
        assertEquals(0, drafted.status(), drafted.err());
        assertTrue(Files.readString(folder.resolve("new.plan.yaml")).contains("layout: installed.layout.yaml"));
        CommandRun open = check(file("new.plan.yaml"));
        assertEquals(3, open.status(), open.err());
        assertTrue(open.out().startsWith("Not finished: "), open.out());
        assertTrue(open.out().contains("--recording FILE"), "it says how to fill a step");
        assertEquals("", check("--new", file("installed.layout.yaml")).err());
    }

    @Test
    void fillsStepsOverSeveralRunsAndTellsEachVerdict() {
        assertEquals(3, check(plan, "--unit", "T-1", "--set", "firmware=1.3").status());
        CommandRun fails = check(plan, "--step", "falls asleep", "--recording", file("key-off-first.bwr.gz"));
        assertEquals(1, fails.status(), fails.err());
        assertTrue(fails.out().startsWith("Falls asleep: fail."), fails.out());
        assertTrue(fails.out().replaceAll("\\s+", " ").contains("woken at 43.07 s by drive display (0x1A0)"), fails.out());
        CommandRun passes = check(plan, "--step", "falls asleep", "--recording", file("key-off.bwr.gz"));
        assertEquals(0, passes.status(), passes.out());
        CommandRun half = check(plan, "--step", "bulb check", "--recording", file("key-on.bwr.gz"));
        assertEquals(3, half.status(), "a person has still to look");
        assertEquals(0, check(plan, "--step", "bulb check", "--observed", "yes", "--by", "A. Fitter").status());
        assertEquals(1, check(plan, "--step", "injector", "--observed", "no", "--by", "A. Fitter", "--note", "dead").status());
        CommandRun state = check(plan);
        assertEquals(1, state.status());
        assertTrue(state.out().startsWith("Not in order: 1 step failed and 6 open of 9."), state.out());
        assertTrue(state.out().indexOf("Failed\n") < state.out().indexOf("Open\n"), "failed ones first");
        assertTrue(state.out().contains("says A. Fitter: dead"), state.out());
    }

    @Test
    void datesComeFromTheClockAndTheSheetHoldsEverything() throws IOException {
        Clock clock = Clock.fixed(Instant.parse("2026-11-25T10:15:30Z"), ZoneOffset.UTC);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PrintStream print = new PrintStream(out, true, StandardCharsets.UTF_8);
        CommandLine line = new CommandLine(new CheckCommand(new Terminal(print, print, Map.of()), clock));
        line.execute(plan, "--unit", "T <1>", "--step", "outside temperature", "--recording", file("key-on.bwr.gz"), "--by",
                "A. Fitter", "--html", file("sheet.html"), "--json", file("sheet.json"));
        String sheet = Files.readString(folder.resolve("sheet.html"));
        assertTrue(sheet.contains("2026-11-25 10:15:30 UTC"), "ISO 8601 date and time");
        assertTrue(sheet.contains("T &lt;1>") || sheet.contains("T &lt;1&gt;"), "a serial cannot write HTML");
        assertFalse(sheet.contains("<script"), "nothing runs on it");
        assertTrue(sheet.indexOf("Open: 8 steps") < sheet.indexOf("Passed: 1 step"), "open steps first");
        for (String must : List.of("11.00\u00A0±\u00A00.29", "key-on.bwr.gz", "SHA-256", "What it does not do", "Last hash",
                "shows only against a printed copy", "Airbag".toLowerCase(java.util.Locale.ROOT), "Signature")) {
            assertTrue(sheet.contains(must), must);
        }
        String evidence = Files.readString(folder.resolve("tern.evidence.jsonl"));
        String last = evidence.strip().lines().reduce((a, b) -> b).orElseThrow().substring(10, 74);
        assertTrue(sheet.contains(last), "the last hash is printed");
        assertTrue(Files.readString(folder.resolve("sheet.json")).contains("\"format\" : \"buswitness-check/1\""));
        CommandRun printed = check(plan, "--printed", last);
        assertTrue(printed.out().contains("The printed hash is that of entry 2 of 2"), printed.out());
        assertEquals(1, check(plan, "--printed", "0".repeat(63) + "1").status());
    }

    @Test
    void aCustomersLaterRecordingIsJudgedAgainstTheRecord() {
        check(plan, "--unit", "T-1", "--step", "the bus at idle", "--recording", file("idle.bwr.gz"));
        CommandRun same = check(plan, "--unit", "T-1", "--later", file("idle.bwr.gz"));
        assertEquals(0, same.status(), same.out() + same.err());
        assertTrue(same.out().startsWith("This recording agrees with the record of unit T-1."), same.out());
        CommandRun complaint = check(plan, "--unit", "T-1", "--later", file("complaint.bwr.gz"), "--json", "-");
        assertEquals(1, complaint.status());
        assertTrue(complaint.err().contains("two senders of"), complaint.err());
        assertTrue(complaint.out().contains("\"change\" : \"changed\""), complaint.out());
        assertTrue(check(plan, "--unit", "T-2", "--later", file("idle.bwr.gz")).failedInOneLine());
    }

    @Test
    void anAlteredEvidenceFileStopsEverything() throws IOException {
        check(plan, "--unit", "T-1", "--step", "injector", "--observed", "no", "--by", "A");
        Path file = folder.resolve("tern.evidence.jsonl");
        Files.writeString(file, Files.readString(file).replace("\"outcome\":\"fail\"", "\"outcome\":\"pass\""));
        CommandRun refused = check(plan);
        assertTrue(refused.failedInOneLine(), refused.toString());
        assertTrue(refused.err().contains("tern.evidence.jsonl, line 2: does not fit the chain"), refused.err());
    }

    @Test
    void whatMakesNoSenseIsRefusedInOneLineAndWritesNothing() {
        for (List<String> words : List.of(List.<String>of(), List.of(plan, "--step", "injector"),
                List.of(plan, "--step", "injektor", "--observed", "yes", "--by", "A"),
                List.of(plan, "--step", "injector", "--observed", "perhaps", "--by", "A"),
                List.of(plan, "--step", "injector", "--observed", "yes"),
                List.of(plan, "--step", "injector", "--recording", file("idle.bwr.gz")),
                List.of(plan, "--recording", file("idle.bwr.gz")), List.of(plan, "--set", "firmware=1"),
                List.of(plan, "--unit", "A", "--set", "colour=red"), List.of(plan, "--unit", "A", "--set", "firmware"),
                List.of(plan, "--unit", " "), List.of(plan, "--out", "x"), List.of(plan, "--later", file("idle.bwr.gz")),
                List.of(plan, "--step", "bulb check", "--recording", file("idle.bwr.gz")),
                List.of(plan, "--step", "starter", "--recording", file("idle.bwr.gz")),
                List.of(plan, "--step", "bulb check", "--recording", file("nowhere.bwr")),
                List.of("--new", file("nowhere.yaml")), List.of(file("nowhere.yaml")), List.of(file("installed.layout.yaml")),
                List.of(plan, "--html", plan), List.of(plan, "--html", "-", "--json", "-"))) {
            CommandRun run = check(words.toArray(String[]::new));
            assertTrue(run.failedInOneLine(), words + " " + run);
        }
        assertFalse(Files.exists(folder.resolve("tern.evidence.jsonl")));
    }

    @Test
    void aDraftNeverTakesThePlaceOfAPlanThatMayHaveBeenEdited() throws IOException {
        Path edited = Files.writeString(folder.resolve("edited.plan.yaml"), "# mine\n");
        CommandRun run = check("--new", file("installed.layout.yaml"), "--out", edited.toString());
        assertEquals(2, run.status());
        assertTrue(run.err().contains("edited.plan.yaml: exists already"), run.err());
        assertEquals("# mine\n", Files.readString(edited));
    }

    /** Two buses, each with its layout and its line of the recording; a step says which it is about. */
    @Test
    void aHarnessOnTwoBuses() throws IOException {
        String text = """
                plan: two buses
                buses:
                  inner bus: {layout: installed.layout.yaml, line: body bus}
                  outer bus: {layout: dashboard.layout.yaml, line: body bus}
                  starter: {layout: dashboard.layout.yaml}
                steps:
                  inner: {stage: ignition on, do: Look., judge: {message: engine data, every: 20 ms}}
                  outer: {stage: ignition on, on: outer bus, do: Look., judge: {message: turn signals, every: 100 ms}}
                  still: {stage: ignition on, on: starter, do: Look., judge: {bus: no damaged frames}}
                """;
        String two = file("two.plan.yaml");
        Files.writeString(Path.of(two), text);
        String recording = file("key-on.bwr.gz");
        assertEquals(0, check(two, "--unit", "T-1", "--step", "inner", "--recording", recording).status());
        assertEquals(0, check(two, "--step", "outer", "--recording", recording, "--html", file("two.html")).status());
        String sheet = Files.readString(Path.of(file("two.html")));
        assertTrue(sheet.contains("Layout of the outer bus") && sheet.contains("ignition on, outer bus"), sheet);
        CommandRun other = check(two, "--step", "still", "--recording", recording);
        assertFalse(other.status() == 0, "the bus of that step is another line, a switch here: " + other);
        CommandRun later = check(two, "--later", recording, "--step", "inner", "--step", "outer");
        assertEquals(0, later.status(), later.toString());
        assertTrue(later.out().contains("2 judgements, 0 failed"), "both buses are read: " + later.out());
        Files.writeString(Path.of(two), text.replace("on: outer bus", "on: upper bus"));
        assertTrue(check(two).err().contains("unknown bus 'upper bus'"), check(two).err());
        Files.writeString(Path.of(two), text + "layout: installed.layout.yaml\n");
        assertTrue(check(two).err().contains("stands beside 'buses'"), check(two).err());
    }
}
