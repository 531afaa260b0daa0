package buswitness.capture;

/**
 * What a frame table and its columns YAML say, known whole once the table has been read.
 *
 * @param recording     source, form, sum of the stored bytes; the tick is one step of the time column's last decimal
 * @param stamped       which end of a frame the time column names
 * @param bitsPerSecond bit rate, or NaN where the YAML does not say
 * @param rows          rows delivered
 * @param skipped       malformed rows, reported and left out
 * @param lastPicos     stamp of the last row, or 0
 */
public record FrameTableInfo(RecordingInfo recording, Stamped stamped, double bitsPerSecond, long rows, long skipped,
                             long lastPicos) {
    /** The instant of a frame that a stamp names. */
    public enum Stamped { START, END, UNKNOWN }
}
