package buswitness.frames;

import buswitness.bits.LineFinding;

/**
 * The stretch of wire that is being read, from its first dominant bit on: frame bits without stuff bits in a shift
 * register of 128, runs as they stood on the wire, and the edges that time the sender. Becomes one row of the log.
 */
final class CanStretch {
    /** Tail: check delimiter, acknowledge slot, acknowledge delimiter, seven bits of end of frame. */
    static final int ACKNOWLEDGE_BIT = 1;
    static final int TAIL_BITS = 10;
    static final int LAST_TAIL_BIT = 9;

    private static final int IDE_READ = 14;
    private static final int BASE_HEADER = 19;
    private static final int EXTENDED_HEADER = 39;
    private static final int CHECK_BITS = 15;
    /** First bit whose opening edge no rival can have touched: two after the last that is arbitrated. */
    private static final int BASE_ALONE = CanFrameBits.arbitrationBits(false) + 2;
    private static final int EXTENDED_ALONE = CanFrameBits.arbitrationBits(true) + 1;
    /** Runs kept of one stretch; a longer one (a line held down, noise without end) is cut there. */
    private static final int MOST_RUNS = 512;
    private static final int MOST_WIRE_BITS = 1024;

    private final FrameLog log;
    private final LogRow row = new LogRow();
    private final WireFit fit;
    private final double nominalPicos;

    private long high;
    private long low;
    private int read;
    private int readBeforeRun;
    private int mark;
    private int header;
    private int length;
    private int alone;
    private int wireBits;
    private final int[] runs = new int[MOST_RUNS];
    private int runCount;
    private boolean active;
    private boolean whole;

    CanStretch(FrameLog log, LineFinding line) {
        this.log = log;
        this.nominalPicos = line.nominalBitPicos();
        this.fit = new WireFit(line.bitPicos(), nominalPicos, line.tickPicos());
    }

    void begin(long atPicos, boolean freeStart) {
        row.clear();
        row.startPicos = atPicos;
        row.freeStart = freeStart;
        high = low = 0;
        read = readBeforeRun = 0;
        mark = IDE_READ;
        header = length = 0;
        alone = Integer.MAX_VALUE;
        wireBits = runCount = 0;
        active = whole = false;
        fit.clear();
    }

    /** Nothing has been noted yet. */
    boolean isBlank() {
        return runCount == 0;
    }

    /** The line has been dominant in it. */
    boolean isActive() {
        return active;
    }

    /** The run last read is the one that began with the start of frame. */
    boolean isFirstRun() {
        return readBeforeRun == 0;
    }

    long startPicos() {
        return row.startPicos;
    }

    void addGlitches(int glitches) {
        row.glitches += glitches;
    }

    /** Bits on the wire, of one level, that belong to this stretch. */
    void note(int bits, int level) {
        wireBits += bits;
        active |= level == 0;
        if (runCount < MOST_RUNS) runs[runCount++] = bits << 1 | level;
    }

    /** The edge that opens the next run, up to the one that ends the check sequence. */
    void edge(int level, long edge) {
        if (read < alone) return;
        row.alone(edge);
        fit.add(level == 1, wireBits, edge - row.startPicos - wireBits * nominalPicos);
    }

    /**
     * Appends equal bits, stuff bits left out, 0 to 5.
     *
     * @return bits that lie beyond the check sequence, 0 or more, or -1 where it has not ended
     */
    int read(int level, int bits) {
        readBeforeRun = read;
        high = high << bits | (low >>> 1) >>> (63 - bits);
        low = low << bits | -level & (1L << bits) - 1;
        read += bits;
        return read < mark ? -1 : pass();
    }

    /** A mark has been passed: the next field's place is known. */
    private int pass() {
        if (header == 0) {
            boolean extended = bit(13) == 1;
            header = extended ? EXTENDED_HEADER : BASE_HEADER;
            alone = extended ? EXTENDED_ALONE : BASE_ALONE;
            mark = header;
            if (read < mark) return -1;
        }
        if (length == 0) {
            int code = (int) number(header - 4, 4);
            int bytes = isRemote() ? 0 : Math.min(code, 8);
            length = header + 8 * bytes + CHECK_BITS;
            mark = length;
            return -1;
        }
        int beyond = read - length;
        low = low >>> beyond | (high << 1) << (63 - beyond);
        high >>>= beyond;
        read = length;
        return beyond;
    }

    private boolean isRemote() {
        return bit(header == EXTENDED_HEADER ? 32 : 12) == 1;
    }

    private int bit(int at) {
        return (int) number(at, 1);
    }

    /** {@code width} bits, 1 to 32, from bit {@code at} of the frame, most significant first. */
    private long number(int at, int width) {
        int shift = read - at - width;
        long value = shift >= 64 ? high >>> (shift - 64) : low >>> shift | (shift == 0 ? 0 : high << (64 - shift));
        return value & (1L << width) - 1;
    }

    /** The check sequence has been read. */
    void checkSequence() {
        whole = true;
        if (Crc15.of(high, low) != 0) {
            row.fault = FrameFault.CHECK;
            row.faultBit = length - 1;
        }
    }

    /** The check failed: a lost or gained bit may have moved every field. */
    boolean isDoubtful() {
        return row.fault == FrameFault.CHECK;
    }

    /** Dominant in the acknowledge slot; behind a form fault it is somebody's flag. */
    void acknowledged() {
        if (row.fault != FrameFault.FORM) row.acknowledged = true;
    }

    /** A fault in the tail; the first fault of a stretch stands. */
    void failTail(FrameFault fault, int tailBit) {
        if (row.fault != FrameFault.NONE) return;
        row.fault = fault;
        row.faultBit = length + tailBit;
    }

    /** The sixth equal bit in the body: what the run holds before it may already be the flag. */
    void breakBody(FrameFault fault) {
        row.fault = fault;
        row.faultBit = read;
        whole = false;
    }

    void fail(FrameFault fault) {
        row.fault = fault;
        row.faultBit = 0;
    }

    /** The recording ends within the stretch. */
    void failOpen() {
        if (row.fault != FrameFault.NONE) return;
        row.fault = FrameFault.CUT;
        row.faultBit = read;
        readBeforeRun = read;
    }

    /** A start of frame that nothing followed, neither an identifier nor anybody's flag, was none. */
    void judgeNoise() {
        if (row.fault == FrameFault.STUFF && runCount <= 2) row.fault = FrameFault.NOISE;
    }

    void close(long endPicos) {
        row.endPicos = endPicos;
        if (header != 0 && read >= (header == EXTENDED_HEADER ? 32 : IDE_READ)) describe();
        if (row.fault == FrameFault.NONE || row.fault == FrameFault.ACKNOWLEDGE || row.fault == FrameFault.FORM) time();
        if (row.fault != FrameFault.NONE) row.wireBits = wire();
        log.add(row);
    }

    /** Identifier, and as much of the rest as was read before the run that broke the frame. */
    private void describe() {
        boolean extended = header == EXTENDED_HEADER;
        int identifier = extended ? (int) (number(1, 11) << 18 | number(14, 18)) : (int) number(1, 11);
        row.key = MessageKey.can(identifier, extended);
        row.remote = read > (extended ? 32 : 12) && isRemote();
        int sure = whole ? read : readBeforeRun;
        if (length == 0 || sure < header) return;
        row.lengthCode = (int) number(header - 4, 4);
        row.dataLength = Math.min((length - header - CHECK_BITS) / 8, (sure - header) / 8);
        for (int i = 0; i < row.dataLength; i++) row.data[i] = (byte) number(header + 8 * i, 8);
    }

    private void time() {
        if (!whole || !fit.solve()) return;
        row.bitPpm = (float) (1e6 * fit.bitExcessPicos() / nominalPicos);
        row.bitPpmError = (float) (1e6 * fit.bitErrorPicos() / nominalPicos);
        // A dominant run gains by the shift what the recessive one behind it loses.
        row.asymmetryNanos = (float) (2 * fit.shiftPicos() * 1e-3);
        row.asymmetryErrorNanos = (float) (2 * fit.shiftErrorPicos() * 1e-3);
    }

    private BitString wire() {
        BitString bits = new BitString();
        for (int i = 0; i < runCount && bits.size() < MOST_WIRE_BITS; i++) {
            int n = Math.min(runs[i] >>> 1, MOST_WIRE_BITS - bits.size());
            for (int k = 0; k < n; k++) bits.add(runs[i] & 1);
        }
        return bits;
    }
}
