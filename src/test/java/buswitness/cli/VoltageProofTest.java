package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.problem.Progress;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import javax.sound.sampled.AudioFileFormat;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A demo recording drawn as voltages, read again: the same frames; and too few samples are refused with the rate needed. */
class VoltageProofTest {
    private static final double SECONDS = 3;

    @TempDir
    Path folder;

    /** The first seconds of a demo recording as 16-bit samples with edges of two microseconds. */
    private Path drawn(double samplesPerSecond) throws IOException {
        List<Long> changes = new ArrayList<>();
        int[] first = {1};
        Recordings.open(Path.of("captures/healthy.bwl.gz"), ReadOptions.NONE).read(new EdgeSink() {
            @Override
            public void begin(int line, long atPicos, int level) {
                first[0] = level;
            }

            @Override
            public void edges(EdgeBlock block) {
                for (int i = 0; i < block.count; i++) changes.add(block.atPicos[i]);
            }

            @Override
            public void gap(int line, long fromPicos, long untilPicos, String why) {}

            @Override
            public void end(long atPicos) {}
        }, Progress.SILENT);
        byte[] bytes = new byte[2 * (int) (SECONDS * samplesPerSecond)];
        int next = 0;
        for (int k = 0; k < bytes.length / 2; k++) {
            double at = k * 1e12 / samplesPerSecond;
            while (next < changes.size() && changes.get(next) <= at) next++;
            double share = next == 0 ? 1 : Math.min(1, (at - changes.get(next - 1)) / 2e6);
            int level = next % 2 == 0 ? first[0] : 1 - first[0];
            short sample = (short) (20_000 * ((level == 1 ? share : 1 - share) - 0.5));
            bytes[2 * k] = (byte) sample;
            bytes[2 * k + 1] = (byte) (sample >> 8);
        }
        AudioFormat format = new AudioFormat((float) samplesPerSecond, 16, 1, true, false);
        Path file = folder.resolve("drawn-" + (int) samplesPerSecond + ".wav");
        AudioSystem.write(new AudioInputStream(new ByteArrayInputStream(bytes), format, bytes.length / 2),
                AudioFileFormat.Type.WAVE, file.toFile());
        return file;
    }

    private static List<String> frames(String recording) {
        CommandRun run = CommandRun.of("decode", recording, "--frames", "-");
        assertEquals(0, run.status(), run.err());
        return run.out().lines().skip(1).map(row -> row.split(",", -1))
                .filter(row -> Double.parseDouble(row[0]) < SECONDS - 0.01).map(row -> row[1] + " " + row[2] + row[3])
                .toList();
    }

    @Test
    void voltagesGiveTheSameFramesAsTheLevelsTheyWereDrawnFrom() throws IOException {
        List<String> wire = frames("captures/healthy.bwl.gz");
        assertTrue(wire.size() > 250, wire.size() + " frames");
        assertEquals(wire, frames(drawn(1e6).toString()));
    }

    @Test
    void tooFewSamplesForTheRateAreRefusedWithTheRateNeeded() throws IOException {
        CommandRun run = CommandRun.of("prove", drawn(192_000).toString(), "--rate", "125k");
        assertTrue(run.failedInOneLine(), run.err());
        assertTrue(run.err().contains("sampled 192000 times a second, too seldom for 125000 bit/s; record with 500000 "
                + "samples a second or more"), run.err());
    }
}
