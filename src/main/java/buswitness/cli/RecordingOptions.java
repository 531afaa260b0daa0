package buswitness.cli;

import buswitness.AnalysisOptions;
import java.nio.file.Path;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** What every command that reads a recording takes. */
final class RecordingOptions {
    @Parameters(paramLabel = "RECORDING", description = "A bit-timed recording: our log or compact recording, VCD, CSV "
            + "of time and level, or with --columns a table of frames; plain or gzip. Recognised by its content.")
    private Path recording;

    @Option(names = "--layout", paramLabel = "FILE", description = "Names, documented senders, gauges and lamps "
            + "(YAML). Without it, RECORDING's own NAME.layout.yaml beside it is used, or the one its header names.")
    private Path layout;

    @Option(names = "--no-layout", description = "Use no layout, even if one lies beside the recording.")
    private boolean withoutLayout;

    @Mixin
    private ReadingOptions reading;

    AnalysisOptions toAnalysis() {
        return reading.of(recording, withoutLayout ? null : layout, !withoutLayout && layout == null);
    }

    /** Names the files that no output may replace. */
    void protectIn(OutputFiles files) {
        files.protect(recording);
        files.protect(layout);
        reading.protectIn(files);
    }
}
