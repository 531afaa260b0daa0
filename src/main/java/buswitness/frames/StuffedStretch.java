package buswitness.frames;

import buswitness.bits.LineFinding;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;

/**
 * The stretch of wire that {@link StuffedFraming} is reading, from its first dominant bit on: the start bit and the
 * fields' bits without stuff bits, runs as they stood on the wire, and the edges that time the sender.
 */
final class StuffedStretch {
    private static final int MOST_RUNS = 512;
    private static final int MOST_WIRE_BITS = 1024;
    /** First edge that no rival can have touched: so many bits after the fields that are arbitrated. */
    private static final int ALONE = 2;

    private final FrameMaker maker;
    private final FrameBits bits;
    private final LogRow row;
    private final WireFit fit;
    private final double nominalPicos;
    private final int stuffedField;

    private int length;
    private int stuffedEnd;
    private int alone;
    private int readBeforeRun;
    private int wireBits;
    private final int[] runs = new int[MOST_RUNS];
    private int runCount;
    private boolean active;
    private boolean whole;

    StuffedStretch(BusFormat format, LineFinding line, FrameLog log) {
        this.maker = new FrameMaker(format, log, 1);
        this.bits = maker.bits;
        this.row = maker.row;
        this.nominalPicos = line.nominalBitPicos();
        this.fit = new WireFit(line.bitPicos(), nominalPicos, line.tickPicos());
        this.stuffedField = maker.walk.index(((LineFormat.Stuffed) format.line()).stuffedUntil());
    }

    void begin(long atPicos, boolean freeStart) {
        maker.begin(atPicos, freeStart);
        length = -1;
        stuffedEnd = Integer.MAX_VALUE;
        alone = Integer.MAX_VALUE;
        readBeforeRun = wireBits = runCount = 0;
        active = whole = false;
        fit.clear();
    }

    boolean isBlank() {
        return runCount == 0;
    }

    boolean isActive() {
        return active;
    }

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
    void note(int count, int level) {
        wireBits += count;
        active |= level == 0;
        if (runCount < MOST_RUNS) runs[runCount++] = count << 1 | level;
    }

    void edge(int level, long edge) {
        if (bits.size() < alone) return;
        row.alone(edge);
        fit.add(level == 1, wireBits, edge - row.startPicos - wireBits * nominalPicos);
    }

    void beginRun() {
        readBeforeRun = bits.size();
    }

    /** Whether a stuff bit may follow the bit last read. */
    boolean isStuffed() {
        return bits.size() - 1 < stuffedEnd;
    }

    /** Appends one bit that is no stuff bit. @return whether it was the frame's last */
    boolean read(int level) {
        bits.add(level);
        if (length < 0) {
            length = maker.walk.advance();
            if (alone == Integer.MAX_VALUE && maker.headerEnd() < Integer.MAX_VALUE / 2) alone = maker.headerEnd() + ALONE;
            if (maker.walk.isPlaced(stuffedField)) {
                stuffedEnd = maker.walk.at(stuffedField) + maker.walk.width(stuffedField);
            }
        }
        return bits.size() == length;
    }

    /** The last field has been read. */
    void complete() {
        whole = true;
        maker.judge();
    }

    /** The check failed: a lost or gained bit may have moved every field. */
    boolean isDoubtful() {
        return row.fault == FrameFault.CHECK || row.fault == FrameFault.PARITY;
    }

    void acknowledged() {
        if (row.fault != FrameFault.FORM) row.acknowledged = true;
    }

    void failTail(FrameFault fault, int tailBit) {
        maker.fail(fault, length + tailBit);
    }

    void breakBody(FrameFault fault) {
        row.fault = fault;
        row.faultBit = bits.size();
        whole = false;
    }

    void fail(FrameFault fault) {
        row.fault = fault;
        row.faultBit = 0;
    }

    void failOpen() {
        if (row.fault != FrameFault.NONE) return;
        row.fault = FrameFault.CUT;
        row.faultBit = bits.size();
        readBeforeRun = bits.size();
    }

    void judgeNoise() {
        if (row.fault == FrameFault.STUFF && runCount <= 2) row.fault = FrameFault.NOISE;
    }

    void close(long endPicos) {
        maker.describe(whole ? bits.size() : readBeforeRun);
        if (whole && (row.fault == FrameFault.NONE || row.fault == FrameFault.ACKNOWLEDGE
                || row.fault == FrameFault.FORM)) {
            time();
        }
        if (row.fault != FrameFault.NONE) row.wireBits = wire();
        maker.add(endPicos);
    }

    private void time() {
        if (!fit.solve()) return;
        row.bitPpm = (float) (1e6 * fit.bitExcessPicos() / nominalPicos);
        row.bitPpmError = (float) (1e6 * fit.bitErrorPicos() / nominalPicos);
        row.asymmetryNanos = (float) (2 * fit.shiftPicos() * 1e-3);
        row.asymmetryErrorNanos = (float) (2 * fit.shiftErrorPicos() * 1e-3);
    }

    private BitString wire() {
        BitString out = new BitString();
        for (int i = 0; i < runCount && out.size() < MOST_WIRE_BITS; i++) {
            int n = Math.min(runs[i] >>> 1, MOST_WIRE_BITS - out.size());
            for (int k = 0; k < n; k++) out.add(runs[i] & 1);
        }
        return out;
    }
}
