package buswitness.frames;

import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;
import buswitness.schema.LineFormat.Pulse;

/**
 * Frames of variable pulse width (SAE J1850): levels alternate, each lasts as long as one of the format's symbols within
 * its receive window. A level is judged when the next edge ends it.
 */
final class VariablePulseFraming implements Framing {
    /** The past is unknown: a rest must come first. */
    private static final int INTEGRATING = 0;
    private static final int IDLE = 1;
    private static final int FRAME = 2;
    /** The data have ended; a normalisation bit may follow. */
    private static final int REPLY_AWAITED = 3;
    private static final int REPLY = 4;
    /** After a fault, until the line has rested. */
    private static final int BROKEN = 5;
    private static final double MICRO = 1e6;
    /** A sender that waited starts when the rest is over, or joins a neighbour's start up to this share later. */
    private static final double HELD_SHARE = 1.25;

    private final BusFormat format;
    private final LineFormat.VariablePulse line;
    private final FrameMaker maker;
    private final PulseTimes times;
    private final PulseReply reply;
    private final double heldMicros;

    private int state;
    private int openLevel;
    private long openPicos;
    private boolean anyEdge;
    private long lastActivePicos;
    private boolean lastKnown;
    private double busyPicos;

    VariablePulseFraming(BusFormat format, LineFinding finding, FrameLog log) {
        this.format = format;
        this.line = (LineFormat.VariablePulse) format.line();
        this.maker = new FrameMaker(format, log, 0);
        this.times = new PulseTimes(finding);
        this.reply = new PulseReply(format.response());
        this.heldMicros = HELD_SHARE * line.restMicros() + 2 * finding.tickPicos() / MICRO;
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
        state = INTEGRATING;
        anyEdge = false;
        lastKnown = false;
        openPicos = atPicos;
        maker.begin(atPicos, false);
    }

    @Override
    public void runs(BitRuns runs) {
        for (int i = 0; i < runs.count; i++) {
            long at = runs.edgePicos[i];
            if (!anyEdge) {
                anyEdge = true;
                openLevel = runs.level[i];
                openPicos = at;
                continue;
            }
            if (state > IDLE) maker.row.glitches += runs.ringing(i) + (openLevel == 0 ? runs.spikes(i) : 0);
            if (runs.level[i] == openLevel) continue;
            ended(at);
            openLevel = runs.level[i];
            openPicos = at;
        }
    }

    /** The open level has lasted until now. */
    private void ended(long at) {
        double micros = (at - openPicos) / MICRO;
        if (openLevel == 1) passive(micros, at);
        else active(micros, at);
    }

    private void passive(double micros, long at) {
        if (micros >= line.endOfFrame().from()) {
            rested(at);
            return;
        }
        switch (state) {
            case FRAME -> {
                if (line.shortPulse().takes(micros)) bit(0, line.shortPulse(), false, at);
                else if (line.longPulse().takes(micros)) bit(1, line.longPulse(), false, at);
                else if (line.endOfData().takes(micros) && reply.isKnown()) state = REPLY_AWAITED;
                else broken(FrameFault.PULSE);
            }
            case REPLY -> {
                if (line.shortPulse().takes(micros)) reply.add(0);
                else if (line.longPulse().takes(micros)) reply.add(1);
                else broken(FrameFault.PULSE);
            }
            default -> { }
        }
    }

    /** A rest that ends a frame for certain. */
    private void rested(long at) {
        if (state == INTEGRATING && lastKnown) {
            // Activity whose beginning was not seen.
            maker.fail(FrameFault.CUT, 0);
            close(at);
        } else if (state != INTEGRATING && state != IDLE) {
            close(at);
        }
        state = IDLE;
    }

    private void active(double micros, long at) {
        switch (state) {
            case IDLE -> start(micros, at);
            case FRAME -> {
                if (line.shortPulse().takes(micros)) bit(1, line.shortPulse(), true, at);
                else if (line.longPulse().takes(micros)) bit(0, line.longPulse(), true, at);
                else broken(line.breakPulse().takes(micros) ? FrameFault.BREAK : FrameFault.PULSE);
            }
            case REPLY_AWAITED -> {
                maker.judge();
                if (line.shortPulse().takes(micros) || line.longPulse().takes(micros)) {
                    reply.begin(line.shortPulse().takes(micros));
                    state = REPLY;
                } else {
                    broken(line.breakPulse().takes(micros) ? FrameFault.BREAK : FrameFault.PULSE);
                }
            }
            case REPLY -> {
                if (line.shortPulse().takes(micros)) reply.add(1);
                else if (line.longPulse().takes(micros)) reply.add(0);
                else broken(line.breakPulse().takes(micros) ? FrameFault.BREAK : FrameFault.PULSE);
            }
            default -> { }
        }
        lastActivePicos = at;
        lastKnown = true;
    }

    private void start(double micros, long at) {
        boolean free = lastKnown && (openPicos - lastActivePicos) / MICRO > heldMicros;
        maker.begin(openPicos, free);
        times.begin(openPicos);
        times.edge(true, line.start().nominal(), at, false);
        if (line.start().takes(micros)) state = FRAME;
        else broken(line.breakPulse().takes(micros) ? FrameFault.BREAK : FrameFault.NOISE);
    }

    private void bit(int value, Pulse symbol, boolean endsActive, long at) {
        maker.bits.add(value);
        times.edge(endsActive, symbol.nominal(), at, maker.bits.size() > maker.headerEnd());
    }

    private void broken(FrameFault fault) {
        maker.fail(fault, maker.bits.size());
        state = BROKEN;
    }

    /** @param at until when the line has rested */
    private void close(long at) {
        boolean judged = state == REPLY || state == REPLY_AWAITED;
        if (state == FRAME) maker.judge();
        if (state == REPLY) reply.finish(maker);
        int read = maker.bits.size();
        maker.describe(state == BROKEN && maker.row.fault == FrameFault.PULSE ? read / 8 * 8 : read);
        if (state == FRAME || judged) times.solve(maker.row);
        long end = Math.min(at, lastActivePicos + Math.round(line.endOfFrame().nominal() * MICRO));
        maker.add(end);
        busyPicos += end - maker.row.startPicos + (line.restMicros() - line.endOfFrame().nominal()) * MICRO;
    }

    @Override
    public void stop(long atPicos) {
        if (openLevel == 1 && (atPicos - openPicos) / MICRO >= line.endOfFrame().from()) rested(atPicos);
        boolean open = state > IDLE || state == INTEGRATING && lastKnown;
        if (!open && anyEdge && openLevel == 0) {
            // An active level that the recording's end cuts.
            if (state == IDLE) maker.begin(openPicos, false);
            open = true;
        }
        if (open) {
            maker.fail(FrameFault.CUT, maker.bits.size());
            maker.describe(maker.bits.size());
            maker.add(Math.max(atPicos, maker.row.startPicos));
            busyPicos += Math.max(0, atPicos - maker.row.startPicos);
        }
        state = INTEGRATING;
        lastKnown = false;
        anyEdge = false;
    }
}
