package buswitness.frames;

import buswitness.capture.FrameRow;
import buswitness.capture.FrameTableInfo;
import buswitness.capture.FrameTableInfo.Stamped;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;

/**
 * Rows of a frame table to the same log that the wire gives. There is no wire: no bit timing, no damaged frames. Where
 * the table says which end of a frame it stamps, and the rate, starts are computed to the bit and free starts are
 * known; else none is free. Use once: accept every row, then {@link #finish}. One thread.
 */
public final class TableFrames implements Consumer<FrameRow> {
    private static final int TAIL_BITS = 10;
    private static final int INTERMISSION_BITS = 3;
    /** As on the wire: intermission 3, suspend 8 and 1 bits of silence at most hold a sender back. */
    private static final int HELD_BITS = 12;
    private static final int CLASSICAL_BYTES = 8;
    private static final int LIN_DIGITS = 2;
    private static final int LIN_HEADER_BITS = 34;

    private int size;
    private long[] stamp = new long[256];
    private long[] key = new long[256];
    private int[] tableLine = new int[256];
    private int[] dataAt = new int[257];
    private byte[] pool = new byte[2048];
    private byte[] fault = new byte[256];
    private boolean[] remote = new boolean[256];
    private boolean[] extended = new boolean[256];

    @Override
    public void accept(FrameRow row) {
        if (size == stamp.length) grow();
        int i = size++;
        stamp[i] = row.stampPicos();
        key[i] = row.identifier();
        extended[i] = row.extended();
        remote[i] = row.remote();
        fault[i] = (byte) faultOf(row.fault()).ordinal();
        tableLine[i] = row.line();
        byte[] data = row.data();
        if (dataAt[i] + data.length > pool.length) pool = Arrays.copyOf(pool, pool.length * 2);
        System.arraycopy(data, 0, pool, dataAt[i], data.length);
        dataAt[i + 1] = dataAt[i] + data.length;
    }

    private void grow() {
        int more = size + (size >> 1);
        stamp = Arrays.copyOf(stamp, more);
        key = Arrays.copyOf(key, more);
        tableLine = Arrays.copyOf(tableLine, more);
        dataAt = Arrays.copyOf(dataAt, more + 1);
        fault = Arrays.copyOf(fault, more);
        remote = Arrays.copyOf(remote, more);
        extended = Arrays.copyOf(extended, more);
    }

    private static FrameFault faultOf(FrameRow.RowFault fault) {
        return switch (fault) {
            case NONE -> FrameFault.NONE;
            case NO_RESPONSE -> FrameFault.NO_RESPONSE;
            case BYTE -> FrameFault.BYTE;
            case PARITY -> FrameFault.PARITY;
            case CHECK -> FrameFault.CHECK;
            case FORM -> FrameFault.FORM;
            case LENGTH -> FrameFault.LENGTH;
        };
    }

    /**
     * The rows in time order; rows with equal stamps keep the table's order.
     *
     * @param info what the table said, known once it has been read
     */
    public Decoded finish(FrameTableInfo info) {
        boolean lin = info.coding().equals("lin");
        for (int i = 0; i < size; i++) {
            key[i] = lin ? MessageKey.of(key[i], LIN_DIGITS) : MessageKey.can((int) key[i], extended[i]);
        }
        double bit = 1e12 / info.bitsPerSecond();
        boolean rateKnown = info.bitsPerSecond() > 0;
        boolean exact = rateKnown && info.stamped() != Stamped.UNKNOWN;
        long[] starts = new long[size];
        long[] lengths = new long[size];
        for (int i = 0; i < size; i++) {
            lengths[i] = rateKnown && bytes(i) <= CLASSICAL_BYTES ? Math.round((lin ? linBits(i) : wireBits(i)) * bit) : -1;
            starts[i] = info.stamped() == Stamped.END && lengths[i] > 0 ? stamp[i] - lengths[i] : stamp[i];
        }
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        double busy = 0;
        long lastEnd = 0;
        int last = -1;
        // Two stamps may each be off by one step of the table's clock.
        double silence = HELD_BITS * bit + info.recording().tickPicos();
        for (int at : order(starts)) {
            row.clear();
            row.startPicos = starts[at];
            row.endPicos = starts[at] + (exact ? Math.max(0, lengths[at]) : 0);
            row.key = key[at];
            row.acknowledged = !lin;
            row.remote = remote[at];
            row.fault = FrameFault.values()[fault[at]];
            row.lengthCode = row.dataLength = Math.min(bytes(at), row.data.length);
            System.arraycopy(pool, dataAt[at], row.data, 0, row.dataLength);
            // A row left out in between may have been the frame that held this one back.
            boolean neighbours = last >= 0 && tableLine[at] == tableLine[last] + 1;
            // On LIN the master's table holds everybody back.
            row.freeStart = exact && !lin && lengths[at] >= 0 && lengths[Math.max(0, last)] >= 0 && neighbours
                    && starts[at] - lastEnd > silence;
            log.add(row);
            busy += Math.max(0, lengths[at]) + INTERMISSION_BITS * bit;
            lastEnd = row.endPicos;
            last = at;
        }
        return new Decoded(bus(info, log, rateKnown, busy), log, List.of());
    }

    private BusInfo bus(FrameTableInfo info, FrameLog log, boolean rateKnown, double busy) {
        long duration = Math.max(info.lastPicos(), size == 0 ? 0 : log.endPicos(size - 1));
        double watched = size == 0 ? 0 : duration - log.startPicos(0);
        double load = rateKnown && watched > 0 ? Math.min(1, busy / watched) : Double.NaN;
        return new BusInfo(info.coding(), rateKnown ? info.bitsPerSecond() : Double.NaN, rateKnown ? 1 : 0, rateKnown, 1, load,
                0, 0, false, duration);
    }

    private int bytes(int i) {
        return dataAt[i + 1] - dataAt[i];
    }

    /** Bits from start of frame to the end of end of frame, stuff bits counted. */
    private int wireBits(int i) {
        byte[] data = Arrays.copyOfRange(pool, dataAt[i], dataAt[i + 1]);
        int identifier = (int) MessageKey.identifier(key[i]);
        BitString bits = CanFrameBits.unstuffed(identifier, MessageKey.isExtended(key[i]), remote[i], data.length, data);
        return CanFrameBits.stuffed(bits).size() + TAIL_BITS;
    }

    /** Header of 34 bits, response of ten for each byte and its check sum (LIN 2.2A, 2.3.2). */
    private int linBits(int i) {
        return LIN_HEADER_BITS + (bytes(i) == 0 ? 0 : 10 * (bytes(i) + 1));
    }

    /** Row numbers by start. */
    private int[] order(long[] starts) {
        int[] order = new int[size];
        for (int i = 0; i < size; i++) order[i] = i;
        boolean inOrder = true;
        for (int i = 1; i < size && inOrder; i++) inOrder = starts[i] >= starts[i - 1];
        if (inOrder) return order;
        return java.util.stream.IntStream.range(0, size).boxed()
                .sorted(java.util.Comparator.comparingLong(i -> starts[i])).mapToInt(i -> i).toArray();
    }
}
