package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Each kind of evidence of a clash stands in the table that leaves kinds out, in JSON and on the page. */
class KindsOfEvidenceTest {
    private static final String SCENARIO = """
            rate: 125 kbit/s
            duration: 30 s
            seed: 5
            nodes:
              first:
                clock: 60 ppm
                asymmetry: 30 ns
                sends:
                  state: {id: 0x1D0, length: 4, filler: 0x21, every: 100 ms, phase: 13 ms}
                  other: {id: 0x120, length: 8, filler: 0x11, every: 50 ms}
              second:
                clock: -60 ppm
                asymmetry: -30 ns
                sends:
                  state: {id: 0x1D0, length: 4, filler: 0x21, every: 100 ms, phase: 44 ms}
              listener: {}
            recorder: {tick: 100 ns, clock: 0 ppm}
            """;

    @TempDir
    Path folder;

    /** The data agree, so nothing but schedule and wire tells; the tick is fine. */
    @Test
    void clashBySchedulesAndWireAlone() throws IOException {
        Set<String> kinds = prove(SCENARIO);
        assertTrue(kinds.contains("schedule") && kinds.contains("wire"), kinds.toString());
        assertTrue(Files.readString(folder.resolve("bus.html")).contains("how each sender shapes its bits"));
    }

    /** Two transmitters so alike that the wire is silent at 2 us: nothing but schedule and payload tells. Each clock
     * times another message too, and 40 ppm leave a loop of 100 ms but 4 us for its work, so neither is a loop. */
    @Test
    void clashBySchedulesAndPayloadAlone() throws IOException {
        Set<String> kinds = prove(SCENARIO.replaceFirst("filler: 0x21", "filler: 0x7A").replace("30 ns", "0 ns").replace("60 ppm", "20 ppm")
                .replace("tick: 100 ns", "tick: 2 us").replace("phase: 44 ms}",
                "phase: 44 ms}\n      more: {id: 0x130, length: 8, filler: 0x11, every: 50 ms}"));
        assertTrue(kinds.contains("schedule") && kinds.contains("payload"), kinds.toString());
        assertTrue(Files.readString(folder.resolve("bus.html")).contains("what the messages say"));
    }

    /** Proves the scenario; returns the kinds of evidence, which the ablation and the page have shown to be all there. */
    private Set<String> prove(String scenario) throws IOException {
        Path file = Files.writeString(folder.resolve("bus.scenario.yaml"), scenario);
        Path recording = folder.resolve("bus.bwr");
        assertEquals(0, CommandRun.of("simulate", file.toString(), "--out", recording.toString()).status());
        Path json = folder.resolve("bus.json");
        Path html = folder.resolve("bus.html");
        CommandRun run = CommandRun.of("prove", recording.toString(), "--json", json.toString(), "--html", html.toString());
        assertEquals(1, run.status(), run.out() + run.err());
        Set<String> kinds = values(json, "kind", Set.of("schedule", "payload", "wire", "head-on", "prediction", "without"));
        assertEquals(kinds, values(json, "without", kinds));
        String page = Files.readString(html, StandardCharsets.UTF_8);
        String table = page.substring(page.indexOf("Does the verdict rest on one kind of evidence alone?"));
        for (String kind : kinds) assertTrue(table.contains("without " + kind + " evidence"), kind);
        return kinds;
    }

    private static Set<String> values(Path json, String field, Set<String> among) throws IOException {
        Set<String> found = new TreeSet<>();
        try (JsonParser parser = new JsonFactory().createParser(json.toFile())) {
            while (parser.nextToken() != null) {
                if (parser.currentToken() == JsonToken.FIELD_NAME && field.equals(parser.currentName())
                        && parser.nextToken() == JsonToken.VALUE_STRING && among.contains(parser.getText())) {
                    found.add(parser.getText());
                }
            }
        }
        return found;
    }
}
