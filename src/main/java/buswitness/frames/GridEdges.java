package buswitness.frames;

import java.util.Arrays;

/**
 * Where the edges of a damaged answer's bytes lie, against the start bit of each: who reads them sees whether one
 * transmitter's bit grid explains them all.
 */
final class GridEdges {
    private static final int MOST = 40;

    private final short[] kept = new short[MOST];
    private int count;
    private int byteAt;

    void clear() {
        count = byteAt = 0;
    }

    void beginByte() {
        count = byteAt;
    }

    /** @param bits time since the byte's start, in bits */
    void edge(boolean endsActive, double bits) {
        if (count + 1 >= MOST || !(bits < 16)) return;
        if (count == byteAt) kept[count++] = FrameLog.BYTE_BEGINS;
        kept[count++] = (short) ((endsActive ? FrameLog.ENDS_ACTIVE : 0) + Math.round(bits * FrameLog.PARTS_OF_A_BIT));
    }

    void endByte() {
        byteAt = count;
    }

    /** See {@link FrameLog#gridEdges}; null where there are none. */
    short[] ofFrame() {
        return byteAt == 0 ? null : Arrays.copyOf(kept, byteAt);
    }
}
