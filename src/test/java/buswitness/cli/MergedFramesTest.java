package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Two nodes that send the same bytes on schedules that meet: where both wait for the same frame to end they start together,
 * differ in no bit and come out as one (arbitration and error rules of ISO 11898-1). The simulator knows which did.
 */
class MergedFramesTest {
    private static final String SCENARIO = """
            rate: 125 kbit/s
            duration: 60 s
            seed: 11
            nodes:
              first:
                clock: 600 ppm
                wander: 0.3 ppm
                sends:
                  state: {id: 0x1D0, length: 4, filler: 0x21, every: 100 ms, phase: 13 ms}
                  other: {id: 0x120, length: 8, filler: 0x11, every: 50 ms}
              second:
                clock: -600 ppm
                wander: 0.3 ppm
                sends:
                  state: {id: 0x1D0, length: 4, filler: 0x21, every: 100 ms, phase: 40 ms}
                  another: {id: 0x121, length: 8, filler: 0x12, every: 50 ms}
              busy:
                clock: 10 ppm
                sends:
                  a: {id: 0x60, length: 8, every: 10 ms, filler: 0x01}
                  b: {id: 0x61, length: 8, every: 10 ms, filler: 0x02}
                  c: {id: 0x62, length: 8, every: 5 ms, filler: 0x03}
            recorder: {tick: 100 ns, clock: -9 ppm}
            """;

    @TempDir
    Path folder;

    @Test
    void mergedFramesAreCountedAtTheMeetingOnly() throws IOException {
        Path json = prove(SCENARIO, 1);
        // The truth has a row for each of the two senders of a merged frame.
        long merged = Files.readAllLines(folder.resolve("truth.csv")).stream().map(line -> line.split(","))
                .filter(row -> row[3].equals("0x1D0") && row[9].equals("true")).count() / 2;
        assertTrue(merged >= 5, merged + " merged");
        assertEquals(merged, JsonNumbers.of(json, "meetings_with_one_frame").get(0), 2);
        assertEquals(0, JsonNumbers.of(json, "missing_elsewhere").get(0));
        assertTrue(Files.readString(json).contains("Identical frames that start together come out as one"));
    }

    /** Twin: the same two schedules with data that differ break each other's frames instead, and nothing merges. */
    @Test
    void framesThatDifferDoNotMerge() throws IOException {
        Path json = prove(SCENARIO.replaceFirst("filler: 0x21", "filler: 0x29"), 1);
        assertEquals(0, JsonNumbers.of(json, "meetings_of_identical_frames").get(0));
        assertTrue(JsonNumbers.of(json, "meetings_with_damage").get(0) >= 1);
    }

    private Path prove(String scenario, int status) throws IOException {
        Path file = Files.writeString(folder.resolve("bus.scenario.yaml"), scenario);
        Path recording = folder.resolve("bus.bwr");
        Path json = folder.resolve("bus.json");
        CommandRun made = CommandRun.of("simulate", file.toString(), "--out", recording.toString(), "--truth",
                folder.resolve("truth.csv").toString());
        assertEquals(0, made.status(), made.err());
        CommandRun run = CommandRun.of("prove", recording.toString(), "--json", json.toString());
        assertEquals(status, run.status(), run.out() + run.err());
        return json;
    }
}
