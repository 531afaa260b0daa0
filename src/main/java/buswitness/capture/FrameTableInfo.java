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
 * @param coding        {@code can} or {@code lin}
 */
public record FrameTableInfo(RecordingInfo recording, Stamped stamped, double bitsPerSecond, long rows, long skipped,
                             long lastPicos, String coding) {
    /** A table of CAN frames. */
    public FrameTableInfo(RecordingInfo recording, Stamped stamped, double bitsPerSecond, long rows, long skipped,
                          long lastPicos) {
        this(recording, stamped, bitsPerSecond, rows, skipped, lastPicos, "can");
    }

    /** The same at another rate. */
    public FrameTableInfo withRate(double rate) {
        return new FrameTableInfo(recording, stamped, rate, rows, skipped, lastPicos, coding);
    }

    /** The instant of a frame that a stamp names. */
    public enum Stamped { START, END, UNKNOWN }
}
