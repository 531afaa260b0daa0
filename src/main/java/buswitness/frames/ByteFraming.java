package buswitness.frames;

import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;
import buswitness.schema.ResponseFormat;

/**
 * Frames of asynchronous bytes, with or without a break: what belongs together is told by breaks and rests, what it means
 * by the format. Bytes of a damaged frame stay in its payload: what two nodes sent at once lies one over the other there.
 */
final class ByteFraming implements Framing, AsyncBytes.Sink {
    private static final int OUTSIDE = 0;
    /** A break has been seen, no byte yet. */
    private static final int BROKEN_OPEN = 1;
    private static final int FRAME = 2;
    /** All fields have been read, a reply may follow. */
    private static final int COMPLETE = 3;
    private static final int REPLY = 4;
    /** Bytes that belong to no frame. */
    private static final int STRAY = 5;

    /** Of the rest between frames: a node with a fast clock begins a frame a little sooner, and that is no reply. */
    private static final double REPLIES_WITHIN = 0.95;

    private final BusFormat format;
    private final LineFormat.Bytes line;
    private final ResponseFormat response;
    private final FrameMaker maker;
    private final AsyncBytes bytes;
    private final ByteTimes times;
    private final WakeUp wakeUp;
    private final Slumber slumber;
    private final double bitPicos;
    private final FrameBits reply = new FrameBits();

    private int state;
    private long endPicos;
    private boolean endKnown;
    private boolean judged;
    /** The past is unknown: what comes before a rest or a break belongs to something whose beginning was not seen. */
    private boolean integrating;
    private boolean cutRow;
    private int answerAt;
    private double busyPicos;

    ByteFraming(BusFormat format, LineFinding finding, FrameLog log) {
        this.format = format;
        this.line = (LineFormat.Bytes) format.line();
        this.response = format.response();
        this.maker = new FrameMaker(format, log, 0);
        this.bitPicos = finding.bitPicos();
        this.times = new ByteTimes(finding.nominalBitPicos(), finding.tickPicos());
        this.bytes = new AsyncBytes(line, bitPicos, finding.asymmetryPicos(), times, this);
        this.wakeUp = new WakeUp(line);
        this.slumber = new Slumber(format);
    }

    @Override
    public String name() {
        return format.name();
    }

    @Override
    public double busyPicos() {
        return busyPicos;
    }

    @Override
    public void begin(long atPicos) {
        state = OUTSIDE;
        endKnown = false;
        integrating = true;
        endPicos = atPicos;
        bytes.begin();
        wakeUp.begin();
        slumber.begin();
    }

    @Override
    public void runs(BitRuns runs) {
        for (int i = 0; i < runs.count; i++) {
            long at = runs.edgePicos[i];
            if (wakeUp.isOpen()) {
                wakeUp.change(runs.level[i], at);
                if (wakeUp.isDone()) addressed(at);
                continue;
            }
            if (runs.level[i] == 1) slumber.rises(at);
            int filtered = runs.ringing(i) + (runs.level[i] == 1 ? runs.spikes(i) : 0);
            bytes.change(runs.level[i], at);
            if (state != OUTSIDE) maker.row.glitches += filtered;
        }
    }

    @Override
    public void longActive(long from, long until) {
        if (wakeUp.opens(from, until)) {
            close();
            wakeUp.start(from, until);
            return;
        }
        integrating = false;
        boolean fast = line.wakeUp() != null && !slumber.knows() && line.wakeUp().takes((until - from) * 1e-6);
        close();
        slumber.rested(endPicos, from);
        maker.begin(from, endKnown && from - endPicos > line.restBits() * bitPicos);
        judged = false;
        answerAt = Integer.MAX_VALUE;
        times.clear();
        bytes.grid.clear();
        if (fast) {
            label(FrameFault.FAST_INITIALISATION, until);
            wakeUp.woken(until);
        } else if (line.breakBits() > 0) {
            state = BROKEN_OPEN;
            endPicos = until;
        } else {
            label(slumber.wokenBy(from, until) >= 0 ? FrameFault.WAKE_UP : FrameFault.NOISE, until);
        }
    }

    /** A row that is no frame. */
    private void label(FrameFault fault, long until) {
        maker.fail(fault, 0);
        maker.add(until);
        busyPicos += until - maker.row.startPicos;
        endPicos = until;
        endKnown = true;
        state = OUTSIDE;
    }

    /** An address byte at a few bits a second has been read. */
    private void addressed(long at) {
        long from = wakeUp.fromPicos();
        maker.begin(from, false);
        maker.bits.addByte(wakeUp.address());
        maker.row.dataLength = 1;
        maker.row.data[0] = (byte) wakeUp.address();
        label(FrameFault.SLOW_INITIALISATION, Math.min(at, wakeUp.untilPicos()));
        wakeUp.close();
        wakeUp.woken(endPicos);
        bytes.begin();
        bytes.change(1, endPicos);
        if (wakeUp.endsActive()) bytes.change(0, at);
    }

    @Override
    public void take(long start, long end, int value, boolean stopped, boolean holds) {
        double gap = (start - endPicos) / bitPicos;
        if (integrating) {
            integrating = gap <= (response == null ? line.longestGapBits() : line.restBits());
            if (!integrating) close();
        }
        if (integrating) {
            if (state == OUTSIDE) open(start, 0);
            state = STRAY;
            byteInto(start, value, stopped, holds);
            endPicos = end;
            return;
        }
        boolean apart = state == OUTSIDE || state != BROKEN_OPEN && gap > line.longestGapBits();
        if (apart && mayReply(gap)) {
            if (!judged) judge();
            state = REPLY;
            reply.clear();
        } else if (apart || isOver()) {
            close();
            open(start, gap);
        } else if (state == BROKEN_OPEN) {
            state = FRAME;
        }
        byteInto(start, value, stopped, holds);
        endPicos = end;
    }

    private boolean mayReply(double gap) {
        return response != null && (state == FRAME || state == COMPLETE) && gap < REPLIES_WITHIN * line.restBits() && isComplete();
    }

    private boolean isComplete() {
        int length = maker.walk.advance();
        return length >= 0 && maker.bits.size() >= length;
    }

    /** A frame that is complete and passes its checks ends there: what follows at once is another one. */
    private boolean isOver() {
        if (state != FRAME || line.breakBits() > 0 || response != null || !isComplete()) return false;
        judge();
        return maker.row.fault == FrameFault.NONE;
    }

    private void open(long start, double gap) {
        cutRow = integrating;
        slumber.rested(endPicos, start);
        maker.begin(start, endKnown && gap > line.restBits());
        judged = false;
        answerAt = Integer.MAX_VALUE;
        times.clear();
        bytes.grid.clear();
        state = line.breakBits() > 0 ? STRAY : FRAME;
    }

    private void byteInto(long start, int value, boolean stopped, boolean holds) {
        if (state == REPLY) {
            reply.addByte(value);
            if (!stopped || !holds) maker.fail(FrameFault.RESPONSE_CHECK, maker.bits.size());
            times.beginByte();
            return;
        }
        int at = maker.bits.size();
        if (state == STRAY) slumber.stray(at == 0, line.lowBitFirst() ? value : Integer.reverse(value) >>> 24, stopped);
        if (answerAt == Integer.MAX_VALUE) answerAt = maker.answerAt();
        boolean answers = at >= answerAt;
        if (answers && at == answerAt) maker.row.answerPicos = start;
        if (!stopped) maker.fail(FrameFault.BYTE, at);
        else if (!holds) maker.fail(FrameFault.PARITY, at);
        maker.bits.addByte(value);
        boolean counts = format.naming().answer() == null || answers;
        if (counts) bytes.grid.endByte();
        if (counts && stopped) times.endByte(start);
        else times.beginByte();
    }

    private void judge() {
        judged = true;
        maker.judge();
    }

    /** Ends the stretch that is open. */
    private void close() {
        if (state == OUTSIDE) return;
        long wokenUntil = state == BROKEN_OPEN ? slumber.wokenBy(maker.row.startPicos, endPicos)
                : state == STRAY && !cutRow ? slumber.wokenByByte(maker.row.startPicos) : -1;
        if (wokenUntil >= 0) {
            maker.row.fault = FrameFault.WAKE_UP;
            maker.row.faultBit = 0;
            endPicos = wokenUntil;
        } else if (state == BROKEN_OPEN) {
            maker.fail(FrameFault.BREAK, 0);
        } else if (state == STRAY) {
            // The first fault stands, so what the bytes were found to be is put aside.
            maker.row.fault = cutRow ? FrameFault.CUT : FrameFault.NOISE;
            maker.row.faultBit = 0;
            keepBytes();
        } else {
            boolean initial = answersWakeUp() && wakeUp.answersFrom(maker.row.startPicos);
            if (initial) {
                maker.fail(FrameFault.SLOW_INITIALISATION, 0);
                keepBytes();
            } else {
                if (!judged) judge();
                if (state == REPLY) takeReply();
                maker.describe(maker.bits.size());
                wakeUp.close();
                slumber.frame(maker.row);
            }
            if (!initial) times.solve(maker.row);
        }
        if (maker.row.fault.isDamage()) maker.row.gridEdges = bytes.grid.ofFrame();
        maker.add(Math.max(endPicos, maker.row.startPicos));
        busyPicos += endPicos - maker.row.startPicos;
        endKnown = true;
        state = OUTSIDE;
    }

    /** After an address byte: the sync byte with two key bytes, then single bytes. */
    private boolean answersWakeUp() {
        int size = maker.bits.size();
        return size == 8 || size <= 24 && size >= 16 && maker.bits.number(0, 8) == 0x55;
    }

    private void keepBytes() {
        maker.row.dataLength = Math.min(maker.bits.size() / 8, maker.row.data.length);
        for (int i = 0; i < maker.row.dataLength; i++) maker.row.data[i] = (byte) maker.bits.number(8 * i, 8);
    }

    private void takeReply() {
        int count = Math.min(reply.size() / 8, maker.row.response.length);
        maker.row.responseLength = count;
        for (int i = 0; i < count; i++) maker.row.response[i] = (byte) reply.number(8 * i, 8);
        boolean wrong = count > response.mostBytes();
        if (response.check() != null) {
            wrong |= count < 2 || reply.number(8 * count - 8, 8)
                    != CheckValue.of(response.check(), reply, 0, 8 * count - 8, 8);
        }
        if (wrong) maker.fail(FrameFault.RESPONSE_CHECK, maker.bits.size());
    }

    @Override
    public void stop(long atPicos) {
        if (wakeUp.isOpen()) {
            maker.begin(wakeUp.fromPicos(), false);
            maker.fail(FrameFault.CUT, 0);
            maker.add(Math.max(atPicos, wakeUp.fromPicos()));
            wakeUp.close();
            state = OUTSIDE;
            return;
        }
        boolean cut = bytes.stop(atPicos);
        double rest = (atPicos - endPicos) / bitPicos;
        if (state != OUTSIDE && !cut && (rest > line.longestGapBits() || isWhole())) {
            close();
        } else if (state != OUTSIDE || cut) {
            if (state == OUTSIDE) {
                maker.begin(bytes.cutPicos(), false);
            } else if (cut && state != BROKEN_OPEN && (bytes.cutPicos() - endPicos) / bitPicos > line.longestGapBits()) {
                close();
                maker.begin(bytes.cutPicos(), false);
            }
            maker.fail(FrameFault.CUT, maker.bits.size());
            maker.describe(maker.bits.size());
            maker.add(Math.max(atPicos, maker.row.startPicos));
        }
        state = OUTSIDE;
        endKnown = false;
    }

    /** Complete and right already, though no rest has shown yet that nothing follows. */
    private boolean isWhole() {
        if (state != FRAME || !isComplete()) return false;
        judge();
        return maker.row.fault == FrameFault.NONE;
    }
}
