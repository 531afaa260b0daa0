package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.SplittableRandom;
import javax.sound.sampled.AudioFileFormat;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Voltages against invented lines whose true instants are known; WAV written by the JDK's javax.sound and by sox. */
class AnalogueFormTest {
    @TempDir
    Path folder;

    /** A 10 kbit/s line through a sound card: edges of 60 us, 0.5 % noise, coupled through a 10 Hz high pass. */
    private static Voltages soundCard(double rate, double droop) {
        return new Voltages(10_000, rate, 4, 60e-6, 0.005, droop, 5);
    }

    /** Written by the JDK, high byte last, as {@code coding} with {@code bits} a sample. */
    private static byte[] wav(Voltages v, String coding, int bits, int channels) throws IOException {
        AudioFormat format = new AudioFormat(new AudioFormat.Encoding(coding), (float) v.samplesPerSecond, bits, channels,
                bits / 8 * channels, (float) v.samplesPerSecond, false);
        ByteBuffer b = ByteBuffer.allocate(v.samples.length * bits / 8 * channels).order(ByteOrder.LITTLE_ENDIAN);
        for (float x : v.samples) {
            for (int c = 0; c < channels; c++) {
                double y = (c == 0 ? 0.6 : -0.6) * (x - 0.5);
                switch (bits + coding) {
                    case "8PCM_UNSIGNED" -> b.put((byte) (Math.round(y * 127) + 128));
                    case "16PCM_SIGNED" -> b.putShort((short) Math.round(y * 32767));
                    case "24PCM_SIGNED" -> {
                        int z = (int) Math.round(y * 8388607);
                        b.put((byte) z).put((byte) (z >> 8)).put((byte) (z >> 16));
                    }
                    case "32PCM_SIGNED" -> b.putInt((int) Math.round(y * 2147483647.0));
                    case "32PCM_FLOAT" -> b.putFloat((float) y);
                    default -> throw new IllegalArgumentException();
                }
            }
        }
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        AudioSystem.write(new AudioInputStream(new ByteArrayInputStream(b.array()), format, v.samples.length),
                AudioFileFormat.Type.WAVE, out);
        return out.toByteArray();
    }

    @ParameterizedTest
    @CsvSource({"PCM_UNSIGNED,8", "PCM_SIGNED,16", "PCM_SIGNED,24", "PCM_SIGNED,32", "PCM_FLOAT,32"})
    void everyCodingOfTheJdkIsRead(String coding, int bits) throws IOException {
        Voltages v = soundCard(48_000, 0);
        Recording recording = Given.open(wav(v, coding, bits, 1));
        double error = v.errorSamples(recording);
        assertTrue(error < 0.08, coding + bits + ": " + error + " samples");
        assertEquals("WAV", recording.info().form());
        assertEquals(48_000, recording.samplesPerSecond(), 1e-9);
    }

    /** The error told is neither boasted nor so wide that it says nothing. */
    @ParameterizedTest
    @CsvSource({"48000,0", "48000,10", "96000,10", "192000,10", "192000,30", "44100,2"})
    void droopDoesNotMoveTheChangesAndTheErrorToldIsTrue(double rate, double droop) throws IOException {
        Voltages v = soundCard(rate, droop);
        Recording recording = Given.open(wav(v, "PCM_SIGNED", 16, 1));
        double error = v.errorSamples(recording);
        double told = recording.info().tickPicos() / Math.sqrt(12) / (1e12 / rate);
        System.out.printf(Locale.ROOT, "sound card %.0f/s, %.0f Hz: error %.3f samples (%.2f us), told %.3f%n", rate, droop,
                error, error / rate * 1e6, told);
        assertTrue(error < 1.6 * told, error + " samples, told " + told);
        assertTrue(error > told / 6, error + " samples, told " + told);
        assertTrue(recording.notices().kept().get(0).says().contains("one standard error"));
    }

    @Test
    void twoChannelsThatMoveAgainstEachOtherAreOneBus() throws IOException {
        Voltages v = soundCard(96_000, 10);
        Recording recording = Given.open(wav(v, "PCM_SIGNED", 16, 2));
        assertEquals(List.of("left - right"), recording.info().lines());
        assertTrue(v.errorSamples(recording) < 0.1);
    }

    /** An oscilloscope's trace of a 125 kbit/s pair at ten million samples a second, with a preamble and from before 0. */
    @ParameterizedTest
    @ValueSource(booleans = {true, false})
    void anOscilloscopesTraceOfOneWireOrTwo(boolean both) {
        Voltages v = new Voltages(125_000, 10e6, 0.05, 250e-9, 0.01, 0, 6);
        StringBuilder text = new StringBuilder("Record length,500000\r\nNote,\"bench, key on\"\r\n");
        text.append(both ? "Time,CH1,CH2\r\nSecond,Volt,Volt\r\n" : "Time,CH1\r\nSecond,Volt\r\n");
        for (int k = 0; k < v.samples.length; k++) {
            text.append(String.format(Locale.ROOT, "%.7f,%.3f", k * 1e-7 - 0.01, 2.5 - (v.samples[k] - 1)));
            if (both) text.append(String.format(Locale.ROOT, ",%.3f", 2.5 + (v.samples[k] - 1)));
            text.append("\r\n");
        }
        Recording recording = Given.open(text.toString());
        assertEquals("CSV of voltages", recording.info().form());
        assertEquals(List.of(both ? "CH1 - CH2" : "CH1"), recording.info().lines());
        assertEquals(10e6, recording.samplesPerSecond(), 1);
        Heard heard = Given.read(recording);
        assertEquals(v.changes.size(), heard.changes);
        List<String> lines = heard.lines(1);
        assertEquals("0: begin 0 0", lines.get(0));
        double worst = 0;
        for (int i = 0; i < v.changes.size(); i++) {
            double at = Long.parseLong(lines.get(i + 1).split(" ")[1]) * 1e-12;
            worst = Math.max(worst, Math.abs(at - v.changes.get(i)));
        }
        assertTrue(worst < 30e-9, worst + " s, with samples 100 ns apart");
    }

    /** A preamble of words and values heads nothing; the unit belongs to the figures, not to the name. Heads made up by us. */
    @ParameterizedTest
    @ValueSource(strings = {"\"Model\",\"X1\"\n\"Sample interval\",5e-06,s\n\nSecond,Volt\n=channel 1",
        "Time (s),CH1 (V)\n=CH1", "time_s,bus [mV]\n=bus", "x-axis,1\nsecond,Volt\n=1"})
    void aChannelIsNamedByItsHeadAndNotByThePreamble(String given) {
        String head = given.substring(0, given.indexOf('='));
        Voltages v = new Voltages(10_000, 200_000, 0.05, 20e-6, 0.002, 0, 7);
        StringBuilder text = new StringBuilder(head);
        for (int k = 0; k < v.samples.length; k++) {
            text.append(String.format(Locale.ROOT, "%.6f,%.4f\n", k * 5e-6, v.samples[k]));
        }
        Recording recording = Given.open(text.toString());
        assertEquals(List.of(given.substring(given.indexOf('=') + 1)), recording.info().lines());
        Given.read(recording);
        String says = recording.notices().kept().get(0).says();
        assertTrue(says.contains("sampled 200,000 times a second") && says.contains(head.contains("mV") ? " mV apart" : " V apart")
                && says.contains("±"), says);
    }

    @Test
    void commasAsDecimalsAndTheUnitByOption() {
        Voltages v = new Voltages(10_000, 200_000, 0.2, 20e-6, 0.002, 0, 7);
        StringBuilder text = new StringBuilder();
        for (int k = 0; k < v.samples.length; k++) {
            text.append(String.format(Locale.ROOT, "%.3f;%.4f\n", k * 0.005, v.samples[k]).replace('.', ','));
        }
        byte[] bytes = Given.utf8(text.toString());
        assertTrue(Given.fault(bytes).toDo().contains("--time-unit"));
        assertTrue(v.errorSamples(Recordings.open(Given.source(bytes), new ReadOptions("ms", null))) < 0.08);
    }

    @Test
    void soxWritesWhatIsReadTheSame() throws IOException, InterruptedException {
        assumeTrue(Files.isExecutable(Path.of("/usr/bin/sox")), "sox is not installed; ./verify installs it");
        Voltages v = soundCard(48_000, 10);
        Path in = Files.write(folder.resolve("in.wav"), wav(v, "PCM_SIGNED", 16, 1));
        List<List<String>> ways = List.of(List.of("-b", "24", "-e", "signed-integer"), List.of("-b", "32", "-e",
                "floating-point"), List.of("-b", "64", "-e", "floating-point"), List.of("-b", "8", "-e", "unsigned-integer"),
                List.of("-b", "32", "-e", "signed-integer"));
        for (List<String> way : ways) {
            Path out = folder.resolve("out.wav");
            List<String> command = new ArrayList<>(List.of("/usr/bin/sox", in.toString()));
            command.addAll(way);
            command.add(out.toString());
            Process sox = new ProcessBuilder(command).redirectErrorStream(true).redirectOutput(folder.resolve("log").toFile())
                    .start();
            assertEquals(0, sox.waitFor(), Files.readString(folder.resolve("log")));
            double error = v.errorSamples(Recordings.open(out, ReadOptions.NONE));
            assertTrue(error < 0.1, way + ": " + error);
        }
    }

    @Test
    void nothingButNoiseOrASteadyLevelIsRefused() throws IOException {
        Voltages rest = new Voltages(10_000, 48_000, 0.01, 60e-6, 0, 0, 8);
        SplittableRandom random = new SplittableRandom(9);
        for (double noise : new double[] {0, 0.01, 0.3}) {
            float[] samples = new float[48_000];
            for (int i = 0; i < samples.length; i++) samples[i] = (float) (0.5 + noise * (random.nextDouble() - 0.5));
            ByteBuffer b = ByteBuffer.allocate(44 + 2 * samples.length).order(ByteOrder.LITTLE_ENDIAN);
            b.put(java.util.Arrays.copyOf(wav(rest, "PCM_SIGNED", 16, 1), 40)).putInt(2 * samples.length);
            for (float x : samples) b.putShort((short) (x * 20000));
            assertTrue(Given.fault(b.array()).what().contains("no line ever changes"), "noise " + noise);
        }
    }

    @Test
    void damageAndOtherCodingsAreToldInOneLine() throws IOException {
        Voltages v = soundCard(48_000, 0);
        byte[] good = wav(v, "PCM_SIGNED", 16, 1);
        Recording cut = Given.open(java.util.Arrays.copyOf(good, good.length / 2));
        assertTrue(Given.read(cut).changes > 100);
        assertTrue(cut.notices().kept().stream().anyMatch(n -> n.says().contains("cut short")));
        assertTrue(Given.fault(java.util.Arrays.copyOf(good, 30)).what().contains("before its samples"));
        byte[] other = good.clone();
        other[20] = 6;                                               // A-law
        assertTrue(Given.fault(other).what().contains("coding 6"), Given.fault(other).getMessage());
        for (int most : new int[] {7, 4096}) {
            assertTrue(v.errorSamples(Recordings.open(Given.trickle(good, most), ReadOptions.NONE)) < 0.08);
        }
    }

    @Test
    void aStumbleInTheSpacingIsRefusedAtItsRow() {
        StringBuilder text = new StringBuilder("time_us,V\n");
        for (int k = 0; k < 9000; k++) text.append(k < 7000 ? k : k + 5).append(',').append(k / 50 % 2 * 3.3).append('\n');
        assertTrue(Given.fault(text.toString()).what().contains("not evenly spaced here"));
        assertEquals(7002, Given.fault(text.toString()).place().line());
    }
}
