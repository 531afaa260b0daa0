package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The builder's command on its worked example: it fails, a remedy is chosen, it fits. */
class PredictTest {
    private static final String WORKSHOP = "captures/workshop/";

    @TempDir
    Path folder;

    private static CommandRun predict(List<String> layouts, String... more) {
        List<String> words = new ArrayList<>(List.of("predict"));
        for (String layout : layouts) words.add(WORKSHOP + layout + ".layout.yaml");
        words.addAll(List.of("--drives", "4", "--seconds", "15"));
        words.addAll(List.of(more));
        return CommandRun.of(words.toArray(String[]::new));
    }

    @Test
    void asDeliveredTheyDoNotGetAlong() {
        CommandRun run = predict(List.of("dashboard", "engine-unit", "gauge-translator"));
        assertEquals(1, run.status(), run.err());
        assertEquals("", run.err());
        assertTrue(run.out().startsWith("These nodes do not get along on one bus.\n"), run.out());
        String flat = run.out().replaceAll("\\s+", " ");
        assertTrue(flat.contains("Two messages have two senders: engine state (0x1D0) and supply state (0x1D8)."), flat);
        assertTrue(flat.contains("Nobody tells the oil lamp what it should show."), flat);
        assertTrue(flat.contains("What to do first Silence oil state (0x1D0) and supply state (0x1D8) in the engine unit"), flat);
        assertTrue(flat.contains("1. 0/2 11/11 0 3 2 silence oil state and supply state in the engine unit; wire for the oil"),
                flat);
        assertTrue(flat.contains("A missing oil-pressure warning can hurt people"), flat);
        assertTrue(flat.contains("Leave airbag and brake circuits alone"), flat);
    }

    /** Verdict, dark lamps, best remedy and the table stand on the first screen; all the rest comes on wish. */
    @Test
    void theAnswerFitsAScreen() {
        List<String> brief = predict(List.of("dashboard", "engine-unit", "gauge-translator")).out().lines().toList();
        int second = 0;
        while (!brief.get(second).startsWith("   2. ")) second++;
        assertTrue(second < 30, "two remedies within 30 lines: " + second);
        assertTrue(brief.size() < 90, brief.size() + " lines");
        assertTrue(brief.stream().allMatch(l -> l.length() <= 80));
        CommandRun whole = predict(List.of("dashboard", "engine-unit", "gauge-translator"), "--all");
        for (String heading : List.of("What does not go together on paper", "When two schedules meet head on",
                "Each remedy and its effect", "How full the bus is", "What this rests on")) {
            assertTrue(whole.out().contains("\n" + heading), heading);
            assertFalse(String.join("\n", brief).contains(heading), heading);
        }
    }

    @Test
    void setUpAndWiredTheyDo() {
        CommandRun run = predict(List.of("dashboard", "engine-unit-set-up", "gauge-translator", "oil-lamp-wire"));
        assertEquals(0, run.status(), run.out());
        assertTrue(run.out().startsWith("These nodes get along on one bus.\n"), run.out());
        assertFalse(run.out().contains("What to do"), "nothing needs a remedy");
    }

    /** The remedy without the wire still leaves a lamp that never lights. */
    @Test
    void aLampThatNobodySendsIsEnoughToFail() {
        CommandRun run = predict(List.of("dashboard", "engine-unit-set-up", "gauge-translator"));
        assertEquals(1, run.status(), run.out());
        assertTrue(run.out().contains("Lamps that nobody sends"), run.out());
        CommandRun empty = predict(List.of("dashboard"), "--all");
        assertEquals(1, empty.status());
        assertTrue(empty.out().replaceAll("\\s+", " ").contains("nobody sends engine state (0x1D0). It will never light"),
                empty.out());
        assertTrue(empty.out().contains("The reverse lamp would stay dark, whatever happens."), empty.out());
        assertFalse(empty.out().contains("would drop out"), "nothing that never came can drop out");
    }

    /** A message of which nobody says how often it comes cannot be simulated, and nothing is made up. */
    @Test
    void withoutAPeriodNothingIsDecided() throws IOException {
        Path open = folder.resolve("open.yaml");
        Files.writeString(open, "bus: {rate: 125 kbit/s}\nnodes: [a, b]\nmessages: {m: {id: 0x10, from: a, length: 2}}\n");
        CommandRun run = CommandRun.of("predict", open.toString());
        assertEquals(3, run.status(), run.out());
        assertTrue(run.out().replaceAll("\\s+", " ").contains("no layout says how often a sends 'm' ('every')"), run.out());
    }

    /** Two messages of 135 bits at worst every 2 ms do not fit 125 kbit/s: 1.08 ms each. */
    @Test
    void aBusThatIsTooFullIsSaid() throws IOException {
        Path full = folder.resolve("full.yaml");
        Files.writeString(full, "bus: {rate: 125 kbit/s}\nnodes: [a, b]\nmessages:\n"
                + "  first: {id: 0x10, from: a, every: 2 ms, length: 8}\n  second: {id: 0x11, from: b, every: 2 ms, length: 8}\n");
        CommandRun run = CommandRun.of("predict", full.toString(), "--drives", "1", "--seconds", "5");
        assertEquals(1, run.status(), run.out());
        String flat = run.out().replaceAll("\\s+", " ");
        assertTrue(flat.contains("The bus is too full: at worst the next one is due before it is through for"), flat);
        assertTrue(flat.contains("second (0x011) from the b"), flat);
    }

    @Test
    void filesHoldTheSameForecast() throws IOException {
        Path json = folder.resolve("f.json");
        Path html = folder.resolve("f.html");
        List<String> layouts = List.of("dashboard", "engine-unit", "gauge-translator");
        CommandRun run = predict(layouts, "--json", json.toString(), "--html", html.toString());
        assertTrue(run.out().endsWith("Written: " + html + "\nWritten: " + json + "\n"), run.out());
        String text = Files.readString(json);
        assertTrue(text.startsWith("{\n  \"format\" : \"buswitness-prediction/1\""), text.substring(0, 80));
        assertTrue(text.contains("\"answer\" : \"does not fit\""));
        CommandRun toOut = predict(layouts, "--json", "-");
        assertEquals(text, toOut.out(), "same layouts, same bytes");
        assertTrue(toOut.err().startsWith("These nodes do not get along"));
        String page = Files.readString(html);
        assertTrue(page.startsWith("<!doctype html>"));
        assertFalse(page.contains("<script"), "a forecast's page runs nothing");
        assertFalse(page.contains("http://") || page.contains("https://") || page.contains("url(http"));
    }

    @Test
    void anInputIsNeverOverwritten() throws IOException {
        Path layout = Files.copy(Path.of(WORKSHOP + "engine-unit.layout.yaml"), folder.resolve("e.yaml"));
        CommandRun run = CommandRun.of("predict", layout.toString(), "--json", layout.toString());
        assertEquals(2, run.status());
        assertEquals(Files.readString(Path.of(WORKSHOP + "engine-unit.layout.yaml")), Files.readString(layout));
    }

    @Test
    void badInputIsOneLine() throws IOException {
        Path none = folder.resolve("none.yaml");
        Files.writeString(none, "messages: {m: {id: 0x10}}\n");
        Path word = folder.resolve("word.yaml");
        Files.writeString(word, "bus: {rate: 125 kbit/s}\nnodes: {a: {clok within: 3 ppm}}\nmessages: {m: {id: 0x10}}\n");
        oneLine("there is no such file", "predict", folder.resolve("gone.yaml").toString());
        oneLine("no layout says the bit rate", "predict", none.toString());
        oneLine("word.yaml, line 2, column 13: unknown word 'clok within'; did you mean 'clock within'?", "predict",
                word.toString());
        oneLine("is given twice", "predict", WORKSHOP + "dashboard.layout.yaml", WORKSHOP + "dashboard.layout.yaml");
        oneLine("Missing required parameter: 'LAYOUT'", "predict");
    }

    @ParameterizedTest
    @CsvSource({"--drives, 0, 1 to 1000 drives", "--seconds, 2, 5 to 3600 seconds", "--drives, many, --drives"})
    void optionsOutOfRange(String option, String value, String says) {
        oneLine(says, "predict", WORKSHOP + "dashboard.layout.yaml", option, value);
    }

    private static void oneLine(String says, String... words) {
        CommandRun run = CommandRun.of(words);
        assertEquals(2, run.status(), run.out() + run.err());
        assertEquals(1, run.err().lines().count(), run.err());
        assertTrue(run.err().contains(says), run.err());
        assertEquals("", run.out());
    }
}
