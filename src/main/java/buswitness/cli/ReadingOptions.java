package buswitness.cli;

import buswitness.AnalysisOptions;
import buswitness.capture.ReadOptions;
import buswitness.schema.BusFormats;
import java.nio.file.Path;
import java.util.Iterator;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.TypeConversionException;

/** How recordings are to be read, in the same words for every command that reads one or several. */
final class ReadingOptions {
    @Option(names = "--line", paramLabel = "NAME", description = "Which line of a recording is the bus, where several change.")
    private String line;

    @Option(names = "--rate", paramLabel = "RATE", converter = BitRate.class, description = "Bit rate such as "
            + "'125 kbit/s' or 125k, instead of finding it.")
    private Double bitsPerSecond;

    @Option(names = "--coding", paramLabel = "NAME", completionCandidates = Codings.class,
            description = "Which bus it is, instead of recognising it: can, can-fd, lin, j1850-vpw, "
                    + "j1850-pwm, iso9141, iso14230, or the name of the layout's own format.")
    private String coding;

    @Option(names = "--time-unit", paramLabel = "UNIT", completionCandidates = TimeUnits.class,
            description = "Unit of a CSV's time column where its header does not say: s, ms, us, ns or ps.")
    private String timeUnit;

    @Option(names = "--columns", paramLabel = "FILE", description = "Recordings are tables of frames; this YAML says "
            + "which column holds what.")
    private Path columns;

    /** @param layout layout to use, or null */
    AnalysisOptions of(Path recording, Path layout, boolean findLayout) {
        return new AnalysisOptions(recording, layout, findLayout, line, bitsPerSecond == null ? Double.NaN : bitsPerSecond,
                coding, new ReadOptions(timeUnit, columns));
    }

    /** Names the files that no output may replace. */
    void protectIn(OutputFiles files) {
        files.protect(columns);
    }

    /** For completion: the buses that are built in. */
    static final class Codings implements Iterable<String> {
        @Override
        public Iterator<String> iterator() {
            return BusFormats.codings().iterator();
        }
    }

    /** For completion. */
    static final class TimeUnits implements Iterable<String> {
        @Override
        public Iterator<String> iterator() {
            return List.of("s", "ms", "us", "ns", "ps").iterator();
        }
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
