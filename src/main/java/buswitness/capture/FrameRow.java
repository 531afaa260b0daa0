package buswitness.capture;

/**
 * One row of a frame table: what another recorder already decoded.
 *
 * @param stampPicos picoseconds from the table's time zero, never before the row above; zero is the table's own, or
 *                   the first row where its times are negative or count from some year
 * @param identifier message identifier
 * @param extended   CAN: 29-bit identifier: above 0x7FF, or written with eight hexadecimal digits
 * @param data       payload bytes, 0 to 64
 * @param line       line number in the table, from 1
 * @param remote     CAN: a request for the message, without payload
 * @param fault      what the other recorder found wrong with it
 */
public record FrameRow(long stampPicos, int identifier, boolean extended, byte[] data, int line, boolean remote,
                       RowFault fault) {
    /** What another recorder may say of a frame. */
    public enum RowFault { NONE, NO_RESPONSE, BYTE, PARITY, CHECK, FORM, LENGTH }

    /** A whole data frame. */
    public FrameRow(long stampPicos, int identifier, boolean extended, byte[] data, int line) {
        this(stampPicos, identifier, extended, data, line, false, RowFault.NONE);
    }
}
