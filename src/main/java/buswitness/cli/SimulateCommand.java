package buswitness.cli;

import buswitness.capture.RecordingWriter;
import buswitness.problem.Progress;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Makes a recording of a described bus. */
@Command(name = "simulate", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Make a recording of a described bus, with the truth beside it.",
        description = {"",
            "Runs a scenario (YAML): nodes with their own clocks, delays and faults on one bus, and a recorder. The "
                + "same scenario and seed give the same bytes. The form follows the name: .bwl bit-timed log, .bwr "
                + "compact recording, .vcd, .csv; with .gz behind it, compressed. Where the scenario's recorder takes "
                + "samples, voltages are written: .wav or .csv.",
            ""},
        footer = {"",
            "Exit status: 0 done, 2 could not do it.",
            "",
            "Examples:",
            "  ./buswitness simulate captures/healthy.scenario.yaml --out healthy.vcd",
            "  ./buswitness simulate captures/two-translators.scenario.yaml --seed 7 --out drive.bwl.gz --truth truth.csv"})
final class SimulateCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Parameters(paramLabel = "SCENARIO", description = "What to simulate.")
    private Path scenarioFile;

    @Option(names = "--out", paramLabel = "FILE", required = true, description = "The recording; - is standard output.")
    private String out;

    @Option(names = "--truth", paramLabel = "FILE", description = "Every frame with its real sender (CSV).")
    private String truth;

    @Option(names = "--seed", paramLabel = "NUMBER", description = "Instead of the scenario's own.")
    private Long seed;

    @Option(names = "--form", paramLabel = "FORM", description = "Form of the recording where its name does not say: "
            + "log, compact, vcd or csv.", converter = WrittenForm.Word.class)
    private WrittenForm form;

    SimulateCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        Scenario loaded = Simulations.load(scenarioFile);
        Scenario scenario = seed == null ? loaded : loaded.withSeed(seed);
        boolean voltages = scenario.recorder().scope() != null;
        WrittenForm wanted = voltages ? null : form == null ? WrittenForm.of(out) : form;
        if (voltages) VoltageFile.check(scenario, out, form);
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            files.protect(scenarioFile);
            files.claim("--out", out);
            files.claim("--truth", truth);
            if (truth == null) {
                files.write(out, recording -> record(scenario, wanted, recording, TruthSink.NONE));
            } else {
                // The truth grows while the recording does, so one is written inside the other.
                files.write(truth, table -> {
                    Writer rows = new BufferedWriter(new OutputStreamWriter(table, StandardCharsets.UTF_8), 1 << 16);
                    files.write(out, recording -> record(scenario, wanted, recording, Simulations.writeTruthCsv(rows)));
                    rows.flush();
                });
            }
            files.commit();
            Hints.written(files.usesStandardOutput() ? terminal.err() : terminal.out(), out, truth);
            return ExitStatus.NOTHING_FOUND;
        }
    }

    private void record(Scenario scenario, WrittenForm wanted, OutputStream target, TruthSink truthSink)
            throws IOException {
        if (wanted == null) {
            VoltageFile.write(scenario, out, target, truthSink);
            return;
        }
        Progress progress = TerminalProgress.on(terminal);
        try (RecordingWriter writer = wanted.writer(out, target, scenario.info())) {
            Simulations.run(scenario, new WatchedSink(writer, progress, scenario.durationSeconds()), truthSink);
        } catch (UncheckedIOException e) {
            throw e.getCause();
        } finally {
            TerminalProgress.end(progress);
        }
    }
}
