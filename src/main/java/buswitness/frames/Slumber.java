package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;

/**
 * Whether a bus of bytes sleeps, and what wakes it: on LIN the master's go-to-sleep command, or a rest of 4 s and more, and
 * then one active level of 250 us to 5 ms by any node (LIN 2.2A, 2.6). The same level on a bus that is awake is damage.
 */
final class Slumber {
    private final BusFormat.Sleep sleep;
    private final LineFormat.Pulse wakeUp;
    private boolean asleep;
    /** End of the last active level. */
    private long roseAt;
    /** Of the byte that stands alone, as one active level; -1 where it is more than one level. */
    private long loneUntil = -1;

    Slumber(BusFormat format) {
        sleep = format.sleep();
        wakeUp = ((LineFormat.Bytes) format.line()).wakeUp();
    }

    boolean knows() {
        return sleep != null;
    }

    void begin() {
        asleep = false;
        loneUntil = -1;
    }

    void rises(long at) {
        roseAt = at;
    }

    /** Something begins after a rest. */
    void rested(long fromPicos, long untilPicos) {
        if (sleep != null && (untilPicos - fromPicos) * 1e-12 >= sleep.afterSeconds()) asleep = true;
    }

    /**
     * A byte outside a frame.
     *
     * @param alone whether it is the first one
     * @param first its bits, the first on the wire the lowest
     */
    void stray(boolean alone, int first, boolean stopped) {
        boolean oneLevel = ((first | first - 1) & 0xFF) == 0xFF && (stopped || first == 0);
        loneUntil = alone && oneLevel ? roseAt : -1;
    }

    /** End of the level that woke the bus, where what began there was one and nothing else; else -1. */
    long wokenBy(long fromPicos, long untilPicos) {
        return asleep && wakeUp.takes((untilPicos - fromPicos) * 1e-6) ? untilPicos : -1;
    }

    /** The same for the byte that stood alone. */
    long wokenByByte(long fromPicos) {
        return loneUntil < 0 ? -1 : wokenBy(fromPicos, loneUntil);
    }

    /** A frame has ended. */
    void frame(LogRow row) {
        if (sleep == null) return;
        asleep = row.fault == FrameFault.NONE && MessageKey.identifier(row.key) == sleep.message() && row.dataLength > 0
                && (row.data[0] & 0xFF) == sleep.firstByte();
    }
}
