package buswitness;

import buswitness.capture.ReadOptions;
import java.nio.file.Path;

/**
 * What the user asks for.
 *
 * @param recording     the recording
 * @param layout        layout to use, or null
 * @param findLayout    without {@code layout}: use one that lies beside the recording, see {@link LayoutSearch}
 * @param line          line to analyse, or null to choose the only one that moves
 * @param bitsPerSecond given bit rate, or NaN to take the layout's or find it on the wire
 * @param coding        name of the bus, or null to take the layout's or recognise it
 * @param read          what the recording does not say itself
 */
public record AnalysisOptions(Path recording, Path layout, boolean findLayout, String line, double bitsPerSecond,
                              String coding, ReadOptions read) {
    /** Everything but the coding given. */
    public AnalysisOptions(Path recording, Path layout, boolean findLayout, String line, double bitsPerSecond,
                           ReadOptions read) {
        this(recording, layout, findLayout, line, bitsPerSecond, null, read);
    }

    /** A recording alone, everything found from the wire. */
    public static AnalysisOptions of(Path recording) {
        return new AnalysisOptions(recording, null, false, null, Double.NaN, ReadOptions.NONE);
    }

    /** The same for another recording of the same bus, layout included. */
    public AnalysisOptions on(Path other) {
        return new AnalysisOptions(other, layout, findLayout, line, bitsPerSecond, coding, read);
    }

    /** The same with a layout. */
    public AnalysisOptions withLayout(Path file) {
        return new AnalysisOptions(recording, file, false, line, bitsPerSecond, coding, read);
    }
}
