package buswitness.cli;

import buswitness.capture.Recordings;
import buswitness.capture.SampleWriter;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.util.Locale;
import java.util.zip.GZIPOutputStream;

/** A simulated recording of voltages: WAV or CSV, as the file's name says. */
final class VoltageFile {
    /** What the 32-bit lengths of a WAV leave room for, its header aside. */
    private static final long MOST_SAMPLES = 1L << 30;

    private VoltageFile() {}

    /** @throws InputFault where the name or the scenario does not allow it */
    static void check(Scenario scenario, String name, WrittenForm form) {
        if (form != null || !plain(name).endsWith(".wav") && !plain(name).endsWith(".csv")) {
            throw new InputFault(Place.file(name), "the scenario's recorder takes voltages, which this form does not hold",
                    "end the name in .wav or .csv and leave --form out");
        }
        double rate = scenario.recorder().scope().samplesPerSecond();
        boolean fits = rate == Math.rint(rate) && Simulations.sampleCount(scenario) < MOST_SAMPLES;
        if (plain(name).endsWith(".wav") && !fits) {
            throw new InputFault(Place.file(name), "a WAV holds a whole number of samples a second, and a thousand million "
                    + "of them in all", "choose other samples or a shorter duration, or end the name in .csv");
        }
    }

    private static String plain(String name) {
        return name.toLowerCase(Locale.ROOT).replaceFirst("\\.gz$", "");
    }

    static void write(Scenario scenario, String name, OutputStream target, TruthSink truth) throws IOException {
        boolean packed = name.toLowerCase(Locale.ROOT).endsWith(".gz");
        OutputStream out = packed ? new GZIPOutputStream(target, 1 << 16) : target;
        double rate = scenario.recorder().scope().samplesPerSecond();
        try (SampleWriter writer = plain(name).endsWith(".wav")
                ? Recordings.writeWave(out, (int) rate, Simulations.sampleCount(scenario),
                        Simulations.fullScaleVolts(scenario))
                : Recordings.writeVoltageCsv(out, rate, scenario.recorder().line())) {
            Simulations.sample(scenario, writer, truth);
        } catch (UncheckedIOException e) {
            throw e.getCause();
        }
    }
}
