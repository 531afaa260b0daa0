package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.AnalysisReading;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recording;
import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import buswitness.frames.LevelledSink;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** The same recording in another form. */
@Command(name = "convert", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Write the same recording in another form.",
        description = {"",
            "Reads a recording of any form with level changes and writes it anew. The form follows the name of OUT: "
                + ".bwl bit-timed log, .bwr compact recording, .vcd, .csv; with .gz behind it, compressed. Log and compact "
                + "recording keep everything; of voltages they keep the changes, and how high the line stood in each frame. "
                + "A VCD leaves out the reasons of gaps, a CSV also marks and notes.",
            ""},
        footer = {"",
            "Exit status: 0 done, 2 could not do it.",
            "",
            "Examples:",
            "  ./buswitness convert captures/healthy.bwl.gz healthy.vcd",
            "  ./buswitness convert drive.csv --time-unit us drive.bwr.gz",
            "  ./buswitness convert drive.bwr --form csv - | head"})
final class ConvertCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Parameters(index = "0", paramLabel = "IN", description = "The recording, recognised by its content.")
    private Path in;

    @Parameters(index = "1", paramLabel = "OUT", description = "The file to write; - is standard output.")
    private String out;

    @Option(names = "--form", paramLabel = "FORM", description = "Form to write where OUT's name does not say: log, "
            + "compact, vcd or csv.", converter = WrittenForm.Word.class)
    private WrittenForm form;

    @Option(names = "--time-unit", paramLabel = "UNIT", description = "Unit of a CSV's time column where its header "
            + "does not say: s, ms, us, ns or ps.")
    private String timeUnit;

    private String notKept;

    ConvertCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        WrittenForm wanted = form == null ? WrittenForm.of(out) : form;
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            files.protect(in);
            files.claim("OUT", out);
            Recording recording = Recordings.open(in, new ReadOptions(timeUnit, null));
            if (recording.isFrameTable()) {
                throw new InputFault(Place.file(in.toString()), "holds frames, not level changes",
                        "write its frames as a table with decode --frames");
            }
            Progress progress = TerminalProgress.on(terminal);
            try {
                AnalysisReading frames = levels(recording, wanted, progress);
                files.write(out, target -> copy(recording, wanted, frames, target, progress));
            } finally {
                TerminalProgress.end(progress);
            }
            files.commit();
            Hints.written(files.usesStandardOutput() ? terminal.err() : terminal.out(), out);
            Hints.notices(terminal.err(), recording.notices());
            if (notKept != null) {
                terminal.err().println("buswitness: " + in + ": the levels of its frames are not kept: " + notKept + ".");
            }
            return ExitStatus.NOTHING_FOUND;
        }
    }

    /** The frames of voltages, whose levels our own forms keep; null where there are none, or no bus is found. */
    private AnalysisReading levels(Recording recording, WrittenForm wanted, Progress progress) {
        if (recording.levelUnit().isEmpty() || wanted != WrittenForm.LOG && wanted != WrittenForm.COMPACT) return null;
        try {
            return Analysis.read(new AnalysisOptions(in, null, true, null, Double.NaN, new ReadOptions(timeUnit, null)),
                    progress);
        } catch (InputFault fault) {
            notKept = fault.what();
            return null;
        }
    }

    private void copy(Recording recording, WrittenForm wanted, AnalysisReading frames, OutputStream target,
                      Progress progress)
            throws IOException {
        try (RecordingWriter writer = wanted.writer(out, target, recording.info())) {
            recording.read(frames == null ? writer : new LevelledSink(writer, frames.decoded().frames(),
                    recording.info().lines().indexOf(frames.line())), progress);
        } catch (UncheckedIOException e) {
            throw e.getCause();
        }
    }
}
