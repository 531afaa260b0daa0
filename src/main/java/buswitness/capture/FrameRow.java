package buswitness.capture;

/**
 * One row of a frame table: what another recorder already decoded.
 *
 * @param stampPicos picoseconds from the first row's own time zero; order is the file's
 * @param identifier message identifier
 * @param extended   29-bit identifier
 * @param data       payload bytes, 0 to 64
 * @param line       line number in the table, from 1
 */
public record FrameRow(long stampPicos, int identifier, boolean extended, byte[] data, int line) {}
