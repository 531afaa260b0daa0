package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.schema.Layouts;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MapCommandTest {
    private static final String VAN = "captures/learning/learning.bwl.gz";
    private static final String TRUTH = "captures/learning/truth.layout.yaml";

    @TempDir
    Path folder;

    /** All outputs of one run; the truth they are held against is the scenario's layout, which map never saw. */
    @Test
    void drawsTheVanWithoutPapers() throws IOException {
        Path html = folder.resolve("van.html");
        Path markdown = folder.resolve("van.md");
        Path layout = folder.resolve("van.layout.yaml");
        CommandRun run = CommandRun.of("map", VAN, "--done", "captures/learning/learning.done.yaml", "--html", html.toString(),
                "--markdown", markdown.toString(), "--layout-out", layout.toString(), "--json", "-");
        assertEquals(0, run.status(), run.err());
        assertTrue(run.out().startsWith("{") && run.out().contains("\"format\" : \"buswitness-map/1\""), run.out());
        assertTrue(run.err().contains("5 messages from 4 senders"), run.err());
        assertTrue(run.err().contains("Reverse: bit 5 of 0x2B0, 1 while on; 6 of 6 switchings fit"), run.err());
        String page = Files.readString(html);
        assertFalse(page.matches("(?s).*(src|href)=\"https?:.*") || page.contains("<script"), "the page must fetch nothing");
        assertTrue(page.contains("Content-Security-Policy") && page.length() < 2_000_000);
        assertTrue(Files.readString(markdown).contains("| counter | bits 52 to 55 |"));
        assertEquals(5, Layouts.load(layout).messages().size());

        // The written layout serves the other commands.
        assertEquals(0, CommandRun.of("prove", VAN, "--layout", layout.toString()).status());
        CommandRun forecast = CommandRun.of("predict", layout.toString(), "--drives", "1", "--seconds", "5");
        assertTrue(forecast.status() != 2, forecast.err());

        // Run again over the same file: not a byte changes.
        String before = Files.readString(layout);
        CommandRun again = CommandRun.of("map", VAN, "--done", "captures/learning/learning.done.yaml", "--layout-out",
                layout.toString());
        assertEquals(0, again.status(), again.err());
        assertEquals(before, Files.readString(layout));
    }

    /** Buses other than CAN: the layout that is written names or describes its bus, loads, and reads the recording again. */
    @ParameterizedTest
    @CsvSource({"lin, lin, 3", "pulse, j1850-vpw, 5", "wire, comfort-wire, 3", "fd, can-fd, 6"})
    void theLayoutOfAnotherBusCarriesItsCoding(String bus, String coding, int messages) throws IOException {
        String recording = "captures/" + bus + "-healthy.bwr.gz";
        Path layout = folder.resolve(bus + ".yaml");
        Path html = folder.resolve(bus + ".html");
        CommandRun run = CommandRun.of("map", recording, "--layout-out", layout.toString(), "--html", html.toString());
        assertEquals(0, run.status(), run.err());
        assertTrue(Files.size(html) > 10_000);
        buswitness.schema.Layout loaded = Layouts.load(layout);
        assertEquals(coding, loaded.format() == null ? loaded.coding() : loaded.format().name());
        assertEquals(messages, loaded.messages().size());
        if (bus.equals("fd")) assertEquals(2e6, loaded.dataBitsPerSecond());
        CommandRun again = CommandRun.of("map", recording, "--against", layout.toString());
        assertEquals(0, again.status(), again.out() + again.err());
    }

    @Test
    void againstTheRightPapersNothingDiffers() {
        CommandRun run = CommandRun.of("map", VAN, "--against", TRUTH);
        assertEquals(0, run.status(), run.out() + run.err());
        assertTrue(run.out().startsWith("The layout and the recording agree"), run.out());
    }

    @Test
    void againstWrongPapersEachDifferenceIsTold() throws IOException {
        String wrong = Files.readString(Path.of(TRUTH)).replace("every: 200 ms\n    length: 4", "every: 250 ms\n    length: 5")
                .replace("id: 0x320", "id: 0x321").replace("from: gauge translator\n    every: 200", "from: door unit\n    every: 200");
        Path papers = Files.writeString(folder.resolve("wrong.yaml"), wrong);
        CommandRun run = CommandRun.of("map", VAN, "--against", papers.toString());
        assertEquals(1, run.status(), run.out() + run.err());
        String told = run.out().replaceAll("\\s+", " ");
        assertTrue(told.contains("0x320 is sent (300 frames) and not in the layout"), told);
        assertTrue(told.contains("Dashboard state (0x321) should come every 200 ms and was never seen"), told);
        assertTrue(told.contains("Engine state (0x1D0) has 4 payload bytes, not 5"), told);
        assertTrue(told.contains("Engine state (0x1D0) comes every 200 ms, not every 250 ms"), told);
    }

    /** A message sent on event only may just not have been due: open, status 3. */
    @Test
    void whatMayOnlyNotHaveHappenedStaysOpen() throws IOException {
        String more = Files.readString(Path.of(TRUTH)) + "  horn: {id: 0x111, from: door unit, on event: true}\n";
        Path papers = Files.writeString(folder.resolve("horn.yaml"), more);
        CommandRun run = CommandRun.of("map", VAN, "--against", papers.toString());
        assertEquals(3, run.status(), run.out() + run.err());
        assertTrue(run.out().contains("Horn (0x111)"), run.out());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "done: [coolant sideways] | is not understood | line 1, column 8",
        "done: [reverse from 9 s to 3 s] | before it begins | line 1",
        "done: [] | nothing that was done | line 1",
        "doing: [a at 3 at 4 s] | unknown word 'doing' | line 1, column 1",
        "note: x | 'done' is missing | line 1",
    })
    void sentencesNotUnderstoodAreOneLineEach(String text, String what, String where) throws IOException {
        Path done = Files.writeString(folder.resolve("done.yaml"), text + "\n");
        CommandRun run = CommandRun.of("map", VAN, "--done", done.toString());
        assertTrue(run.failedInOneLine(), run.err());
        assertTrue(run.err().contains(what) && run.err().contains(where), run.err());
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "what,at\\nx,1 | no column 'from_s'",
        "what,from_s\\nx,soon | 'soon' in column 'from_s' is no number",
        "what,from_s,until_s\\nx,5,2 | ends before it begins",
        "what,from_s | says nothing",
    })
    void tablesNotUnderstoodAreOneLineEach(String text, String what) throws IOException {
        Path done = Files.writeString(folder.resolve("done.csv"), text.replace("\\n", "\n") + "\n");
        CommandRun run = CommandRun.of("map", VAN, "--done", done.toString());
        assertTrue(run.failedInOneLine(), run.err());
        assertTrue(run.err().contains(what), run.err());
    }

    @Test
    void badUsageIsOneLineEach() throws IOException {
        Path noLayout = Files.writeString(folder.resolve("no.yaml"), "just a word\n");
        for (String[] words : new String[][] {{"map"}, {"map", "nowhere.bwl"}, {"map", VAN, "--without", "door"},
            {"map", VAN, "--without", "a=" + VAN, "--without", "a=" + VAN}, {"map", VAN, "--against", noLayout.toString()},
            {"map", VAN, "--layout-out", noLayout.toString()}, {"map", VAN, "--html", VAN}, {"map", VAN, "--done", "gone.yaml"},
            {"calibrate", "--map", "0"}}) {
            CommandRun run = CommandRun.of(words);
            assertTrue(run.failedInOneLine(), String.join(" ", words) + ": " + run.err());
        }
        assertEquals("just a word\n", Files.readString(noLayout));
    }

    /**
     * On LIN the periods are the master's: a slave's clock is the length of its bits. Clocks of the scenario, less the
     * recorder's 9 ppm.
     */
    @Test
    void clocksOnLinAreThoseOfWhoAnswers() {
        CommandRun run = CommandRun.of("map", "captures/lin-healthy.bwr.gz", "--json", "-");
        assertEquals(0, run.status(), run.err());
        java.util.Map<String, Double> truth = java.util.Map.of("gauge translator", 5191.0, "level sender", 3091.0,
                "door unit", -2409.0);
        truth.forEach((node, ppm) -> {
            java.util.regex.Matcher m = java.util.regex.Pattern.compile("\"name\"\\s*:\\s*\"" + node
                    + "\".*?\"clock_ppm\"\\s*:\\s*(-?[0-9.]+),\\s*\"clock_ppm_error\"\\s*:\\s*([0-9.]+)",
                    java.util.regex.Pattern.DOTALL).matcher(run.out());
            assertTrue(m.find(), node + " in " + run.out());
            double error = Double.parseDouble(m.group(2));
            assertTrue(error < 60, node + ": " + error);
            assertEquals(ppm, Double.parseDouble(m.group(1)), 3 * error, node);
        });
        assertTrue(run.err().contains("by the length of its bits"), run.err());
    }
}
