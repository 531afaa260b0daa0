package buswitness.cli;

import buswitness.AnalysisOptions;
import buswitness.capture.ReadOptions;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.TypeConversionException;

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

    @Option(names = "--line", paramLabel = "NAME", description = "Which line of the recording to read, where several "
            + "change.")
    private String line;

    @Option(names = "--rate", paramLabel = "RATE", converter = BitRate.class, description = "Bit rate such as "
            + "'125 kbit/s' or 125k, instead of finding it.")
    private Double bitsPerSecond;

    @Option(names = "--coding", paramLabel = "NAME", description = "Which bus it is, instead of recognising it: can, "
            + "can-fd, lin, j1850-vpw, j1850-pwm, iso9141, iso14230, or the name of the layout's own format.")
    private String coding;

    @Option(names = "--time-unit", paramLabel = "UNIT", description = "Unit of a CSV's time column where its header "
            + "does not say: s, ms, us, ns or ps.")
    private String timeUnit;

    @Option(names = "--columns", paramLabel = "FILE", description = "RECORDING is a table of frames; this YAML says "
            + "which column holds what.")
    private Path columns;

    AnalysisOptions toAnalysis() {
        return new AnalysisOptions(recording, withoutLayout ? null : layout, !withoutLayout && layout == null, line,
                bitsPerSecond == null ? Double.NaN : bitsPerSecond, coding, new ReadOptions(timeUnit, columns));
    }

    /** Names the files that no output may replace. */
    void protectIn(OutputFiles files) {
        files.protect(recording);
        files.protect(layout);
        files.protect(columns);
    }

    /** A bit rate as typed. */
    static final class BitRate implements ITypeConverter<Double> {
        private static final double SLOWEST = 1_000;
        private static final double FASTEST = 10_000_000;

        @Override
        public Double convert(String text) {
            Matcher m = Pattern
                    .compile("(\\d{1,9}(?:\\.\\d{1,9})?)\\s*(|k|M|bit/s|kbit/s|Mbit/s)").matcher(text.strip());
            if (!m.matches()) throw new TypeConversionException("'" + text + "' is no bit rate such as '125 kbit/s'");
            double factor = m.group(2).startsWith("k") ? 1e3 : m.group(2).startsWith("M") ? 1e6 : 1;
            double rate = Double.parseDouble(m.group(1)) * factor;
            if (rate < SLOWEST || rate > FASTEST) {
                throw new TypeConversionException("'" + text + "' is outside 1 kbit/s to 10 Mbit/s");
            }
            return rate;
        }
    }
}
