package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.problem.Progress;
import buswitness.report.finding.FindingReports;
import buswitness.report.parts.ScreenStyle;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** What is on the wire, frame by frame, damaged ones included? */
@Command(name = "decode", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "List what is on the wire, frame by frame, damaged ones included.",
        description = {"",
            "Prints a row for each frame (start of frame in seconds from the recording's start, identifier, payload) "
                + "and a summary. A damaged frame tells its fault and the bit, counted from start of frame = 0 with "
                + "stuff bits left out. With --frames the rows go to a file instead.",
            ""},
        footer = {"",
            "Exit status: 0 done, 2 could not do it.",
            "",
            "Examples:",
            "  ./buswitness decode captures/two-translators.bwl.gz | head -20",
            "  ./buswitness decode drive.vcd --line body --frames drive-frames.csv"})
final class DecodeCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Mixin
    private RecordingOptions recording;

    @Option(names = "--frames", paramLabel = "FILE", description = "Write every frame (CSV); - is standard output.")
    private String frames;

    DecodeCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            recording.protectIn(files);
            files.claim("--frames", frames);
            Progress progress = TerminalProgress.on(terminal);
            AnalysisReading reading;
            try {
                reading = Analysis.read(recording.toAnalysis(), progress);
            } finally {
                TerminalProgress.end(progress);
            }
            files.write(frames, out -> FindingReports.writeFramesCsv(reading.decoded().frames(), out));
            files.commit();
            if (frames == null) list(reading);
            if (frames == null || !frames.equals("-")) Hints.written(terminal.out(), frames);
            Hints.notices(terminal.err(), reading);
            return ExitStatus.NOTHING_FOUND;
        }
    }

    private void list(AnalysisReading reading) {
        FindingReports.writeDecode(reading.decoded().bus(), reading.decoded().frames(), reading.decoded().gaps(),
                reading.decoded().marks(), terminal.out(), new ScreenStyle(terminal.columns(), terminal.colourOn(true), true));
    }
}
