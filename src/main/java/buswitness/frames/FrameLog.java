package buswitness.frames;

import java.util.Arrays;

/**
 * Every frame of a recording, whole and damaged, in time order, column by column so that a frame costs tens of bytes.
 * Filled through {@link LogRow} by one writer; immutable by convention afterwards. Index 0 is the first frame.
 */
public final class FrameLog {
    private static final int EXTENDED = 1;
    private static final int REMOTE = 2;
    private static final int FREE_START = 4;
    private static final int ACKNOWLEDGED = 8;
    private static final int FLEXIBLE = 16;
    private static final int SWITCHES_RATE = 32;
    private static final int SAYS_PASSIVE = 64;
    /** In {@link #gridEdges}. */
    public static final short BYTE_BEGINS = -1;
    public static final short ENDS_ACTIVE = 1 << 12;
    public static final int PARTS_OF_A_BIT = 200;
    private static final FrameFault[] FAULTS = FrameFault.values();

    private int size;
    private int whole;
    private long[] start = new long[256];
    private long[] key = new long[256];
    private int[] spanNanos = new int[256];
    private byte[] lengthCode = new byte[256];
    private byte[] flags = new byte[256];
    private byte[] fault = new byte[256];
    private short[] faultBit = new short[256];
    private short[] glitches = new short[256];
    private float[] ppm = new float[256];
    private float[] ppmError = new float[256];
    private float[] asymmetry = new float[256];
    private float[] asymmetryError = new float[256];
    private int[] sender = new int[256];
    private int[] answerNanos = new int[256];
    /** Null as long as all are 0. */
    private long[] otherFields;
    private PayloadPool payloads = new PayloadPool(256);
    private final FrameExtras<BitString> wireBits = new FrameExtras<>();
    private final FrameExtras<short[]> gridEdges = new FrameExtras<>();
    private double tickPicos;
    private FrameLevels levels;

    /** Keeps how high the line stands in each frame, in that unit. Before the first frame. */
    void keepLevels(String unit) {
        levels = new FrameLevels(unit);
    }

    /** How high the line stood in each frame; null where the recording holds no voltages. */
    public FrameLevels levels() {
        return levels;
    }

    /** Recorder's tick in picoseconds, 0 where unknown. */
    public double tickPicos() {
        return tickPicos;
    }

    void tickPicos(double picos) {
        tickPicos = picos;
    }

    /** Appends a copy of the row. Starts must not decrease. */
    public void add(LogRow row) {
        if (size > 0 && row.startPicos < start[size - 1]) {
            throw new IllegalArgumentException("frame starts at " + row.startPicos + " ps, before " + start[size - 1]);
        }
        if (size == start.length) grow();
        int i = size++;
        start[i] = row.startPicos;
        key[i] = row.key;
        spanNanos[i] = (int) Math.min(Integer.MAX_VALUE, (row.endPicos - row.startPicos + 500) / 1000);
        payloads.put(i, row);
        sender[i] = row.sender;
        if (row.otherFields != 0 && otherFields == null) otherFields = new long[start.length];
        if (otherFields != null) otherFields[i] = row.otherFields;
        answerNanos[i] = row.answerPicos < 0 ? -1
                : (int) Math.min(Integer.MAX_VALUE, (row.answerPicos - row.startPicos + 500) / 1000);
        lengthCode[i] = (byte) row.lengthCode;
        flags[i] = (byte) ((MessageKey.isExtended(row.key) ? EXTENDED : 0) | (row.remote ? REMOTE : 0)
                | (row.freeStart ? FREE_START : 0) | (row.acknowledged ? ACKNOWLEDGED : 0)
                | (row.flexible ? FLEXIBLE : 0) | (row.switchesRate ? SWITCHES_RATE : 0)
                | (row.saysPassive ? SAYS_PASSIVE : 0));
        fault[i] = (byte) row.fault.ordinal();
        faultBit[i] = (short) row.faultBit;
        glitches[i] = (short) Math.min(Short.MAX_VALUE, row.glitches);
        ppm[i] = row.bitPpm;
        ppmError[i] = row.bitPpmError;
        asymmetry[i] = row.asymmetryNanos;
        asymmetryError[i] = row.asymmetryErrorNanos;
        if (row.fault == FrameFault.NONE) whole++;
        if (levels != null) levels.add(row);
        wireBits.put(i, row.wireBits);
        gridEdges.put(i, row.gridEdges);
    }

    private void grow() {
        int more = start.length + (start.length >> 1);
        start = Arrays.copyOf(start, more);
        payloads.grow(more);
        key = Arrays.copyOf(key, more);
        spanNanos = Arrays.copyOf(spanNanos, more);
        lengthCode = Arrays.copyOf(lengthCode, more);
        flags = Arrays.copyOf(flags, more);
        fault = Arrays.copyOf(fault, more);
        faultBit = Arrays.copyOf(faultBit, more);
        glitches = Arrays.copyOf(glitches, more);
        ppm = Arrays.copyOf(ppm, more);
        ppmError = Arrays.copyOf(ppmError, more);
        asymmetry = Arrays.copyOf(asymmetry, more);
        asymmetryError = Arrays.copyOf(asymmetryError, more);
        sender = Arrays.copyOf(sender, more);
        if (otherFields != null) otherFields = Arrays.copyOf(otherFields, more);
        answerNanos = Arrays.copyOf(answerNanos, more);
    }

    /**
     * Drops the oldest frames, for a writer that goes on for hours and keeps no levels; the indexes of the others go down by
     * as many.
     *
     * @param oldest how many, 0 to {@link #size}
     */
    public void forget(int oldest) {
        int kept = size - oldest;
        for (int i = 0; i < oldest; i++) if (fault[i] == 0) whole--;
        for (Object column : columns()) System.arraycopy(column, oldest, column, 0, kept);
        if (otherFields != null) System.arraycopy(otherFields, oldest, otherFields, 0, kept);
        payloads.forget(oldest, size);
        size = kept;
        wireBits.forget(oldest);
        gridEdges.forget(oldest);
    }

    /** A copy of the frames from one on, their times counted from {@code zeroPicos}. */
    public FrameLog copy(int from, long zeroPicos) {
        return copy(from, size, zeroPicos);
    }

    /** A copy of the frames {@code from} to before {@code to}, their times counted from {@code zeroPicos}. */
    public FrameLog copy(int from, int to, long zeroPicos) {
        FrameLog copy = new FrameLog();
        int n = to - from;
        while (copy.start.length < n) copy.grow();
        Object[] mine = columns();
        Object[] theirs = copy.columns();
        for (int c = 0; c < mine.length; c++) System.arraycopy(mine[c], from, theirs[c], 0, n);
        if (otherFields != null) {
            copy.otherFields = Arrays.copyOf(Arrays.copyOfRange(otherFields, from, to), copy.start.length);
        }
        copy.payloads = payloads.copy(from, to, size, copy.start.length);
        for (int i = 0; i < n; i++) {
            copy.start[i] -= zeroPicos;
            if (fault[from + i] == 0) copy.whole++;
        }
        copy.size = n;
        copy.tickPicos = tickPicos;
        wireBits.copyTo(copy.wireBits, from, to);
        gridEdges.copyTo(copy.gridEdges, from, to);
        return copy;
    }

    /** Every array with one entry a frame. */
    private Object[] columns() {
        return new Object[] {start, key, spanNanos, lengthCode, flags, fault, faultBit, glitches, ppm,
            ppmError, asymmetry, asymmetryError, sender, answerNanos};
    }

    public int size() {
        return size;
    }

    /** Frames without a fault. */
    public int wholeCount() {
        return whole;
    }

    /** Stretches with that fault. */
    public int count(FrameFault wanted) {
        int count = 0;
        for (int i = 0; i < size; i++) if (fault[i] == wanted.ordinal()) count++;
        return count;
    }

    /** Stretches that are neither whole frames nor unanswered headers nor wake-ups. */
    public int damagedCount() {
        return size - whole - count(FrameFault.NO_RESPONSE) - count(FrameFault.SLOW_INITIALISATION)
                - count(FrameFault.FAST_INITIALISATION) - count(FrameFault.WAKE_UP);
    }

    /** Picoseconds from time zero to the start of frame. */
    public long startPicos(int i) {
        return start[i];
    }

    public double startSeconds(int i) {
        return start[i] * 1e-12;
    }

    /** End of frame, to the nearest nanosecond, in picoseconds from time zero. */
    public long endPicos(int i) {
        return start[i] + spanNanos[i] * 1000L;
    }

    /** See {@link MessageKey}. */
    public long key(int i) {
        return key[i];
    }

    public boolean isExtended(int i) {
        return (flags[i] & EXTENDED) != 0;
    }

    /** A request by another node for this message: never evidence of who sends its data. */
    public boolean isRemote(int i) {
        return (flags[i] & REMOTE) != 0;
    }

    public boolean isFreeStart(int i) {
        return (flags[i] & FREE_START) != 0;
    }

    public boolean isAcknowledged(int i) {
        return (flags[i] & ACKNOWLEDGED) != 0;
    }

    /** A frame of CAN FD. */
    public boolean isFlexible(int i) {
        return (flags[i] & FLEXIBLE) != 0;
    }

    /** CAN FD: the payload goes at the data rate. */
    public boolean switchesRate(int i) {
        return (flags[i] & SWITCHES_RATE) != 0;
    }

    /** CAN FD: the sender says that it is error passive. */
    public boolean saysPassive(int i) {
        return (flags[i] & SAYS_PASSIVE) != 0;
    }

    public boolean isWhole(int i) {
        return fault[i] == 0;
    }

    public FrameFault fault(int i) {
        return FAULTS[fault[i]];
    }

    /** Bit from start of frame = 0 with stuff bits left out, or -1. */
    public int faultBit(int i) {
        return faultBit[i];
    }

    /** Length code as sent; on classical CAN 9 to 15 also mean 8 bytes. */
    public int lengthCode(int i) {
        return lengthCode[i];
    }

    /** Payload bytes read; for a damaged frame those that could still be read. */
    public int dataLength(int i) {
        return payloads.length(i);
    }

    /** Payload byte {@code at}, 0 to 255. */
    public int dataByte(int i, int at) {
        if (at < 0 || at >= dataLength(i)) throw new IndexOutOfBoundsException("byte " + at + " of frame " + i);
        return payloads.get(i, at);
    }

    /** A copy of the payload. */
    public byte[] data(int i) {
        return payloads.data(i);
    }

    /** A copy of the reply within the frame, its check included; empty where there was none. */
    public byte[] response(int i) {
        return payloads.response(i);
    }

    /** Number of the sender where the frame tells it, else -1. */
    public int sender(int i) {
        return sender[i];
    }

    /** Fields that neither name nor count nor check, joined; see {@link FormatBits#others}. 0 on CAN. */
    public long otherFields(int i) {
        return otherFields == null ? 0 : otherFields[i];
    }

    /** Start of the part that another node sends when asked, to the nearest nanosecond; -1 where there is none. */
    public long answerPicos(int i) {
        return answerNanos[i] < 0 ? -1 : start[i] + answerNanos[i] * 1000L;
    }

    /** The first eight payload bytes as one number, first byte highest, missing bytes 0: cheap to compare. */
    public long dataWord(int i) {
        long word = 0;
        int n = Math.min(8, dataLength(i));
        for (int k = 0; k < n; k++) word |= (long) payloads.get(i, k) << 56 - 8 * k;
        return word;
    }

    public int glitches(int i) {
        return glitches[i];
    }

    /** NaN where the wire was not seen or too few edges were there. */
    public float bitPpm(int i) {
        return ppm[i];
    }

    public float bitPpmError(int i) {
        return ppmError[i];
    }

    public float asymmetryNanos(int i) {
        return asymmetry[i];
    }

    public float asymmetryErrorNanos(int i) {
        return asymmetryError[i];
    }

    /** Damaged frames: the bits on the wire from start of frame, stuff bits and flags included; else null. */
    public BitString wireBits(int i) {
        return wireBits.get(i);
    }

    /**
     * Damaged frames on buses of bytes: the edges within each byte that one node may share with another. {@link #BYTE_BEGINS}
     * before each byte; then time since the byte's start in bits times {@link #PARTS_OF_A_BIT}, plus {@link #ENDS_ACTIVE}
     * where the edge ends an active level. Null elsewhere. Do not change the array.
     */
    public short[] gridEdges(int i) {
        return gridEdges.get(i);
    }
}
