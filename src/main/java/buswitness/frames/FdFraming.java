package buswitness.frames;

import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;

/**
 * A CAN FD bus, with classical frames among them (ISO 11898-1:2015). The rate may change within a frame, at the sample
 * point of the bit that says so and back at that of the check delimiter, so this framing samples the line itself. Edges to
 * dominant set its clock.
 */
final class FdFraming implements Framing {
    private static final int INTEGRATING = 0;
    private static final int IDLE = 1;
    private static final int BODY = 2;
    /** Check field of an FD frame, with stuff bits at fixed places. */
    private static final int FIXED = 3;
    private static final int TAIL = 4;
    private static final int RECOVERING = 5;
    private static final int INTERMISSION = 6;
    private static final double SAMPLE_POINT = FdClock.NOMINAL_SHARE;
    private static final int STUFF_RUN = 5;
    private static final int TAIL_BITS = 10;
    private static final int HELD_BITS = 12;
    private static final int INTEGRATION_BITS = 11;
    private static final int DELIMITER_BITS = 8;
    private static final int MOST_WIRE_BITS = 1024;

    private final FrameLog log;
    private final LogRow row = new LogRow();
    private final FdFrame frame = new FdFrame();
    private final double nominalPicos;
    private final double dataPicos;
    private final WireFit slowFit;
    private final WireFit fastFit;
    private final FdClock clock;

    private int state;
    private boolean fast;
    private int level;
    private boolean anyEdge;
    /** Equal bits in a row on the wire, the last included. */
    private int run;
    private int last;
    private int checkRead;
    private int tailBit;
    private boolean late;
    private boolean stuffDue;
    private boolean fixedStuffRead;
    private int intermissionBit;
    private boolean flagSeen;
    private int recessive;
    private int wireBits;
    private BitString wire;
    private long lastEndPicos;
    private boolean lastEndKnown;
    private boolean active;
    private double busyPicos;
    private int flexibleWhole;
    /** Where the data phase begins for {@link #fastFit}: instant of its first edge to dominant, bits before it. */
    private long fastZero;
    private int fastBits;

    FdFraming(LineFinding finding, double dataBitsPerSecond, FrameLog log) {
        this.log = log;
        this.nominalPicos = finding.nominalBitPicos();
        this.dataPicos = dataBitsPerSecond > 0 ? 1e12 / dataBitsPerSecond : nominalPicos;
        this.clock = new FdClock(nominalPicos, dataPicos);
        this.slowFit = new WireFit(nominalPicos, nominalPicos, finding.tickPicos());
        this.fastFit = new WireFit(dataPicos, dataPicos, finding.tickPicos());
    }

    /** Whole frames of the FD kind. */
    int flexibleWhole() {
        return flexibleWhole;
    }

    @Override
    public String name() {
        return "can-fd";
    }

    @Override
    public double busyPicos() {
        return busyPicos;
    }

    @Override
    public void begin(long atPicos) {
        state = INTEGRATING;
        anyEdge = fast = lastEndKnown = false;
        begin(atPicos, false);
    }

    private void begin(long at, boolean free) {
        row.clear();
        row.startPicos = at;
        row.freeStart = free;
        frame.clear();
        wire = new BitString();
        run = wireBits = checkRead = tailBit = recessive = 0;
        last = -1;
        fast = late = flagSeen = active = stuffDue = fixedStuffRead = false;
        fastZero = -1;
        slowFit.clear();
        fastFit.clear();
    }

    @Override
    public void runs(BitRuns runs) {
        for (int i = 0; i < runs.count; i++) {
            long at = runs.edgePicos[i];
            int to = runs.level[i];
            if (!anyEdge) {
                anyEdge = true;
                level = to;
                clock.edge(at, false);
                continue;
            }
            if (to == level) continue;
            if (state > IDLE) row.glitches += runs.ringing(i) + (level == 0 ? runs.spikes(i) : 0);
            sampleUntil(at);
            level = to;
            if (to == 0) dominantEdge(at);
            if (state == BODY || state == FIXED) time(to, at);
        }
    }

    /** Sets the clock, and opens a frame where the line was idle. */
    private void dominantEdge(long at) {
        if (state == IDLE) {
            begin(at, lastEndKnown && at - lastEndPicos > HELD_BITS * nominalPicos);
            state = BODY;
        }
        clock.edge(at, fast);
    }

    private void sampleUntil(long at) {
        while (clock.next() < at && state != IDLE) {
            bit(level, Math.round(clock.next()));
            clock.step(fast, state == BODY && frame.switchIsNext());
        }
        if (state == IDLE) clock.rest(at);
    }

    private void bit(int bit, long at) {
        run = bit == last ? run + 1 : 1;
        last = bit;
        wireBits++;
        if (fast) fastBits++;
        active |= bit == 0;
        if (state != INTERMISSION && wire.size() < MOST_WIRE_BITS) wire.add(bit);
        switch (state) {
            case BODY -> body(bit, at);
            case FIXED -> fixed(bit);
            case TAIL -> tail(bit, at);
            case RECOVERING -> recover(bit, at);
            case INTERMISSION -> intermission(bit, at);
            default -> integrate(bit, at);
        }
    }

    private void integrate(int bit, long at) {
        recessive = bit == 1 ? recessive + 1 : 0;
        if (recessive < INTEGRATION_BITS) return;
        if (active) {
            fail(FrameFault.CUT, 0);
            close(end(at), IDLE);
        }
        state = IDLE;
    }

    private long end(long sampledAt) {
        return sampledAt + Math.round((1 - SAMPLE_POINT) * nominalPicos);
    }

    private void body(int bit, long at) {
        if (run > STUFF_RUN) {
            broken(bit == 1 ? FrameFault.STUFF : FrameFault.ERROR_FLAG);
            return;
        }
        if (stuffDue) {
            frame.addStuff(bit);
            stuffDue = run == STUFF_RUN;
            afterBit();
            return;
        }
        frame.add(bit);
        if (frame.isOther()) {
            broken(FrameFault.FORM);
            return;
        }
        if (frame.switchesRate()) {
            fast = true;
            fastBits = 0;
        }
        stuffDue = run == STUFF_RUN;
        afterBit();
    }

    /** Where the payload has ended the check begins: at once on FD, after a stuff bit that is due on a classical frame. */
    private void afterBit() {
        if (!frame.dataRead()) return;
        if (frame.isFlexible()) {
            state = FIXED;
            checkRead = 0;
            stuffDue = false;
        } else if (frame.bits.size() == frame.dataAt() + 8 * frame.dataBytes() + 15 && !stuffDue) {
            complete();
        }
    }

    private void fixed(int bit) {
        if (checkRead % 4 == 0 && !fixedStuffRead) {
            fixedStuffRead = true;
            // A fixed stuff bit is the opposite of the bit before it.
            if (run > 1) broken(bit == 0 ? FrameFault.ERROR_FLAG : FrameFault.STUFF);
            return;
        }
        fixedStuffRead = false;
        frame.addCheck(bit);
        if (++checkRead == frame.checkBits()) complete();
    }

    private void complete() {
        state = TAIL;
        tailBit = 0;
        if (!frame.checkHolds()) fail(FrameFault.CHECK, frame.bits.size() - 1);
    }

    private void broken(FrameFault fault) {
        fail(fault, frame.bits.size());
        fast = false;
        flagSeen = last == 0 && run > STUFF_RUN;
        recessive = last == 1 ? run : 0;
        state = RECOVERING;
    }

    private void fail(FrameFault fault, int bit) {
        if (row.fault != FrameFault.NONE) return;
        row.fault = fault;
        row.faultBit = bit;
    }

    /** Delimiter, acknowledge, delimiter, end of frame; an FD acknowledge may come a bit late and last two. */
    private void tail(int bit, long at) {
        boolean doubtful = row.fault == FrameFault.CHECK;
        if (tailBit == 0) fast = false;
        if (tailBit == 1 && bit == 1 && frame.isFlexible() && !late) {
            late = true;
            return;
        }
        if (tailBit == 1 && bit == 1 && late) tailBit = 2;
        if (tailBit == 2 && bit == 0 && frame.isFlexible() && row.acknowledged && !late) {
            late = true;
            return;
        }
        if (tailBit == 1) row.acknowledged = bit == 0;
        if (tailBit == 2 && !row.acknowledged) fail(FrameFault.ACKNOWLEDGE, frame.bits.size() + 1);
        if (bit == 0 && tailBit != 1) {
            if (tailBit == TAIL_BITS - 1 && !doubtful) {
                // For everybody but the transmitter the frame is valid.
                close(Math.round(at - SAMPLE_POINT * nominalPicos), INTERMISSION);
                overload(at);
                return;
            }
            fail(FrameFault.FORM, frame.bits.size() + tailBit);
            flagSeen = run > STUFF_RUN;
            recessive = 0;
            state = RECOVERING;
            return;
        }
        tailBit++;
        if (tailBit == TAIL_BITS) close(end(at), INTERMISSION);
    }

    private void recover(int bit, long at) {
        if (bit == 0) {
            flagSeen |= run > STUFF_RUN;
            recessive = 0;
            return;
        }
        recessive++;
        if (recessive < (flagSeen ? DELIMITER_BITS : INTEGRATION_BITS)) return;
        close(end(at), flagSeen ? INTERMISSION : IDLE);
    }

    private void intermission(int bit, long at) {
        if (bit == 1) {
            busyPicos += nominalPicos;
            if (++intermissionBit == 3) state = IDLE;
        } else if (intermissionBit == 2) {
            begin(Math.round(at - SAMPLE_POINT * nominalPicos), false);
            state = BODY;
            stuffDue = fixedStuffRead = false;
            bit(bit, at);
        } else {
            overload(at);
        }
    }

    /** Dominant where nobody may start. */
    private void overload(long at) {
        begin(Math.round(at - SAMPLE_POINT * nominalPicos), false);
        wire.add(0);
        run = 1;
        last = 0;
        active = true;
        fail(FrameFault.OVERLOAD, 0);
        state = RECOVERING;
    }

    private void close(long end, int next) {
        if (state != INTEGRATING) describe();
        if (row.fault == FrameFault.OVERLOAD && !flagSeen) row.fault = FrameFault.NOISE;
        if (row.fault == FrameFault.NONE || row.fault == FrameFault.ACKNOWLEDGE || row.fault == FrameFault.FORM) solve();
        if (row.fault == FrameFault.NONE && frame.isFlexible()) flexibleWhole++;
        if (row.fault != FrameFault.NONE) row.wireBits = wire;
        row.endPicos = Math.max(end, row.startPicos);
        log.add(row);
        busyPicos += row.endPicos - row.startPicos;
        lastEndPicos = row.endPicos;
        lastEndKnown = true;
        intermissionBit = 0;
        stuffDue = fixedStuffRead = false;
        fast = false;
        state = next;
    }

    private void describe() {
        if (!frame.isNamed()) return;
        row.key = MessageKey.can(frame.identifier(), frame.isExtended());
        row.remote = frame.isRemote();
        row.flexible = frame.isFlexible();
        row.switchesRate = frame.hasSwitch();
        row.saysPassive = frame.saysPassive();
        if (!frame.headerRead()) return;
        row.lengthCode = frame.lengthCode();
        int sure = state == RECOVERING && tailBit == 0 ? Math.max(0, frame.bits.size() - STUFF_RUN) : frame.bits.size();
        row.dataLength = Math.max(0, Math.min(frame.dataBytes(), (sure - frame.dataAt()) / 8));
        for (int i = 0; i < row.dataLength; i++) row.data[i] = (byte) frame.bits.number(frame.dataAt() + 8 * i, 8);
    }

    /** Edges that the sender alone drives: behind the identifier at the nominal rate, or in the data phase. */
    private void time(int to, long at) {
        if (fast) {
            if (fastZero < 0 && to == 0) {
                fastZero = at;
                fastBits = 0;
            }
            row.alone(at);
            if (fastZero >= 0) fastFit.add(to == 1, fastBits, at - fastZero - fastBits * dataPicos);
        } else if (frame.bits.size() > (frame.isExtended() ? 33 : 14)) {
            row.alone(at);
            slowFit.add(to == 1, wireBits, at - row.startPicos - wireBits * nominalPicos);
        }
    }

    private void solve() {
        boolean data = fastZero >= 0;
        WireFit fit = data ? fastFit : slowFit;
        double bit = data ? dataPicos : nominalPicos;
        if (!fit.solve()) return;
        row.bitPpm = (float) (1e6 * fit.bitExcessPicos() / bit);
        row.bitPpmError = (float) (1e6 * fit.bitErrorPicos() / bit);
        row.asymmetryNanos = (float) (2 * fit.shiftPicos() * 1e-3);
        row.asymmetryErrorNanos = (float) (2 * fit.shiftErrorPicos() * 1e-3);
    }

    @Override
    public void stop(long atPicos) {
        if (anyEdge) sampleUntil(atPicos);
        boolean open = state == BODY || state == FIXED || state == TAIL || state == RECOVERING
                || state == INTEGRATING && active;
        if (open) {
            if (state != TAIL || tailBit < TAIL_BITS - 1) fail(FrameFault.CUT, frame.bits.size());
            close(atPicos, INTEGRATING);
        }
        state = INTEGRATING;
        lastEndKnown = anyEdge = false;
    }
}
