package buswitness.capture;

/**
 * Level changes of one line, in time order. Reused by its owner: a sink must not keep it after the call returns.
 * Within a line levels alternate and times strictly increase from change to change, across blocks too, except that
 * after a gap the first change may repeat the last level.
 */
public final class EdgeBlock {
    /** Changes a block holds at most; large enough to make the call per block cheap. */
    public static final int CAPACITY = 8192;

    /** Picoseconds from the recording's time zero; the first {@link #count} entries are valid. */
    public final long[] atPicos = new long[CAPACITY];
    /** Level held from that instant on, 0 or 1. */
    public final byte[] level = new byte[CAPACITY];
    /** Valid entries. */
    public int count;
    /** Index into {@link RecordingInfo#lines()}. */
    public int line;
}
