package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.frames.FrameLevels;
import buswitness.frames.FrameLog;
import buswitness.problem.Progress;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Our own two forms keep how high the line stood in each frame of a recording of voltages, bit for bit. */
class LevelsKeptTest {
    @TempDir
    Path folder;

    private String wav;

    @BeforeEach
    void record() throws IOException {
        Path scenario = folder.resolve("bus.scenario.yaml");
        Files.writeString(scenario, """
                rate: 50 kbit/s
                duration: 3 s
                nodes:
                  A: {level: 2 V, sends: {m1: {id: 0x100, length: 8, every: 20 ms, filler: 0x0F}}}
                  B: {level: 2.2 V, sends: {m2: {id: 0x200, length: 3, every: 30 ms}}}
                recorder: {samples: 500 kHz}
                """);
        wav = file("bus.wav");
        run("simulate", scenario.toString(), "--out", wav);
    }

    private String file(String name) {
        return folder.resolve(name).toString();
    }

    private static void run(String... words) {
        CommandRun run = CommandRun.of(words);
        assertEquals(0, run.status(), run.err());
    }

    private static FrameLog frames(String recording) {
        return Analysis.prove(AnalysisOptions.of(Path.of(recording)), Progress.SILENT).frames();
    }

    private static void same(FrameLog expected, FrameLog actual) {
        assertEquals(expected.size(), actual.size());
        FrameLevels x = expected.levels();
        FrameLevels y = actual.levels();
        assertEquals(x.unit(), y.unit());
        int seen = 0;
        for (int i = 0; i < expected.size(); i++) {
            assertEquals(expected.startPicos(i), actual.startPicos(i));
            assertEquals(x.dominant(i), y.dominant(i));
            assertEquals(x.recessive(i), y.recessive(i));
            assertEquals(x.swing(i), y.swing(i));
            assertEquals(x.swingError(i), y.swingError(i));
            assertEquals(x.slope(i), y.slope(i));
            if (!Float.isNaN(x.swing(i))) seen++;
        }
        assertTrue(seen > 200, seen + " frames with levels");
    }

    @Test
    void logAndCompactRecordingKeepThem() throws IOException {
        FrameLog voltages = frames(wav);
        run("convert", wav, file("a.bwr"));
        same(voltages, frames(file("a.bwr")));
        run("convert", wav, file("a.bwl"));
        same(voltages, frames(file("a.bwl")));
        run("convert", file("a.bwr"), file("b.bwl"));
        run("convert", file("b.bwl"), file("b.bwr"));
        run("convert", file("a.bwl"), file("c.bwr"));
        assertEquals(-1, Files.mismatch(Path.of(file("b.bwr")), Path.of(file("c.bwr"))));
        assertEquals(-1, Files.mismatch(Path.of(file("a.bwl")), Path.of(file("b.bwl"))));
        same(voltages, frames(file("b.bwr")));
    }

    @Test
    void anEntryThatTellsNoLevelsIsRefusedWithItsPlace() throws IOException {
        run("convert", wav, file("a.bwl"));
        String text = Files.readString(Path.of(file("a.bwl"))).replaceFirst("levels FS [^ ]+", "levels FS high");
        Files.writeString(Path.of(file("bad.bwl")), text);
        CommandRun run = CommandRun.of("prove", file("bad.bwl"));
        assertTrue(run.failedInOneLine(), run.err());
        assertTrue(run.err().contains("does not tell levels") && run.err().contains("line "), run.err());
    }
}
