package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** compare from the command line. */
class CompareTest {
    @TempDir
    Path folder;

    @Test
    void recordings() throws IOException {
        CommandRun same = CommandRun.of("compare", "captures/healthy.bwl.gz", "captures/healthy.bwl.gz");
        assertEquals(0, same.status(), same.err());
        assertTrue(same.out().startsWith("No difference beyond chance."), same.out());
        Path page = folder.resolve("c.html");
        CommandRun clash = CommandRun.of("compare", "captures/workshop/idle.bwr.gz", "captures/workshop/complaint.bwr.gz",
                "--layout", "captures/workshop/installed.layout.yaml", "--json", "-", "--html", page.toString());
        assertEquals(1, clash.status(), clash.err());
        assertTrue(clash.out().contains("\"format\" : \"buswitness-comparison/1\""), clash.out());
        assertTrue(clash.out().contains("\"difference\" : \"yes\""));
        assertTrue(clash.err().contains("one sender before, two senders after"), clash.err());
        String html = Files.readString(page);
        assertTrue(html.contains("two senders") && !html.contains("<script"));
    }

    /** Nine jumps of one sensor in 40 s, none in the other recording: seen, and not beyond chance among forty tests. */
    @Test
    void whatMisbehavesInOneRecordingOnlyIsNeverCalledAlike() {
        CommandRun run = CommandRun.of("compare", "captures/healthy.bwl.gz", "captures/bad-sensor.bwl.gz");
        assertEquals(3, run.status(), run.err());
        assertTrue(run.out().replaceAll("\\s+", " ").contains("Coolant gauge: calm before, swings to and fro (own reading) after"),
                run.out());
    }

    /** Read at the layout's 250 kbit/s, a bus of 125 kbit/s holds no frame: nothing is alike then, and nothing silent. */
    @Test
    void aWrongRateIsSaidAndNotJudged() throws IOException {
        Path layout = folder.resolve("fast.layout.yaml");
        Files.writeString(layout, Files.readString(Path.of("captures/tern.layout.yaml")).replace("125 kbit/s", "250 kbit/s"));
        CommandRun run = CommandRun.of("compare", "captures/healthy.bwl.gz", "captures/two-translators.bwl.gz", "--layout",
                layout.toString());
        assertTrue(run.failedInOneLine(), run.err());
        assertTrue(run.err().contains("frames is whole at the 250 kbit/s that the layout or --rate gives; correct the rate"), run.err());
        CommandRun prove = CommandRun.of("prove", "captures/healthy.bwl.gz", "--layout", layout.toString());
        assertEquals(3, prove.status(), prove.err());
        assertTrue(prove.out().replaceAll("\\s+", " ").contains("is whole at the 250 kbit/s that the layout or --rate gives"), prove.out());
        Path plan = Files.writeString(folder.resolve("fast.plan.yaml"), "plan: fast\nlayout: fast.layout.yaml\nsteps:\n"
                + "  still: {stage: running, do: Look., judge: {bus: no damaged frames}}\n");
        CommandRun check = CommandRun.of("check", plan.toString(), "--unit", "A", "--step", "still", "--recording",
                "captures/healthy.bwl.gz");
        assertTrue(check.failedInOneLine(), check.err());
        assertTrue(check.err().contains("name the right one with --rate"), check.err());
    }

    /** A tick of a quarter of a bit breaks healthy frames now and then: nobody is blamed for them. */
    @Test
    void aCoarseTickIsNoDamage() throws IOException {
        Path layout = Files.writeString(folder.resolve("quick.layout.yaml"), """
                bus: {name: quick bus, coding: can, rate: 250 kbit/s}
                nodes: [one, two]
                messages:
                  first: {id: 0x351, from: one, every: 20 ms, length: 8, carries: {speed: {bits: 0..15}}}
                  second: {id: 0x288, from: two, every: 50 ms, length: 8, carries: {heat: {bits: 0..15}}}
                """);
        Path scenario = Files.writeString(folder.resolve("quick.scenario.yaml"), """
                layout: quick.layout.yaml
                duration: 20 s
                seed: 7
                nodes: {one: {clock: -20 ppm, asymmetry: 40 ns}, two: {clock: 10 ppm, asymmetry: 40 ns}}
                recorder: {line: quick bus, tick: 1 us}
                """);
        Path coarse = folder.resolve("coarse.bwr.gz");
        assertEquals(0, CommandRun.of("simulate", scenario.toString(), "--out", coarse.toString()).status());
        CommandRun prove = CommandRun.of("prove", coarse.toString(), "--layout", layout.toString());
        assertTrue((prove.out() + prove.err()).replaceAll("\\s+", " ").contains("a tick of 1000 ns is too coarse for 250 kbit/s"),
                prove.out() + prove.err());
        CommandRun compare = CommandRun.of("compare", coarse.toString(), coarse.toString(), "--layout", layout.toString());
        assertEquals(0, compare.status(), compare.err());
        assertTrue(compare.out().replaceAll("\\s+", " ").contains("damaged frames were not compared"), compare.out());
        Path plan = Files.writeString(folder.resolve("quick.plan.yaml"), "plan: quick\nlayout: quick.layout.yaml\nsteps:\n"
                + "  still: {stage: running, do: Look., judge: {bus: no damaged frames}}\n");
        CommandRun check = CommandRun.of("check", plan.toString(), "--unit", "A", "--step", "still", "--recording", coarse.toString());
        assertEquals(3, check.status(), check.out() + check.err());
        assertTrue(check.out().replaceAll("\\s+", " ").contains("record with 200 ns or finer"), check.out());
    }

    @Test
    void layouts() {
        CommandRun same = CommandRun.of("compare", "captures/tern.layout.yaml", "captures/tern.layout.yaml");
        assertEquals(0, same.status());
        CommandRun run = CommandRun.of("compare", "captures/workshop/dashboard.layout.yaml",
                "captures/workshop/installed.layout.yaml");
        assertEquals(1, run.status());
        assertTrue(run.out().contains("Engine data (0x0D0): not there before, sent by engine unit after"), run.out());
        assertTrue(run.out().contains("nothing is left to chance"), run.out());
        assertFalse(run.out().contains("±"), "no error where there is no measurement");
    }

    @Test
    void mixturesAndMissingFilesAreRefusedInOneLine() {
        assertTrue(CommandRun.of("compare", "captures/tern.layout.yaml", "captures/healthy.bwl.gz").failedInOneLine());
        assertTrue(CommandRun.of("compare", "captures/healthy.bwl.gz", "nowhere.vcd").failedInOneLine());
        assertTrue(CommandRun.of("compare", "captures/healthy.bwl.gz").failedInOneLine());
        assertTrue(CommandRun.of("compare", "captures/tern.layout.yaml", "captures/healthy.scenario.yaml").failedInOneLine());
    }
}
