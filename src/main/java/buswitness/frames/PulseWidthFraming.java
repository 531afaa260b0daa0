package buswitness.frames;

import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;

/**
 * Frames of pulse width (SAE J1850): every bit begins with an active edge and how long the line stays active tells its
 * value. A symbol is judged at the next active edge, when both its active part and its whole length are known.
 */
final class PulseWidthFraming implements Framing {
    private static final int INTEGRATING = 0;
    private static final int IDLE = 1;
    private static final int FRAME = 2;
    private static final int REPLY = 3;
    private static final int BROKEN = 4;
    private static final double MICRO = 1e6;
    private static final double HELD_SHARE = 1.25;

    private final BusFormat format;
    private final LineFormat.PulseWidth line;
    private final FrameMaker maker;
    private final PulseTimes times;
    private final PulseReply reply;
    private final double heldMicros;

    private int state;
    /** The symbol that has just been read is the start of frame. */
    private boolean started;
    private int openLevel;
    private boolean anyEdge;
    /** Active edge of the symbol that is open, and where its active part ended. */
    private long symbolPicos;
    private long activeEndPicos;
    private boolean symbolKnown;
    /** The line had rested so long before the open symbol that nothing held its sender back. */
    private boolean freeNext;
    /** Active part of the last bit, nominal, microseconds. */
    private double lastNominal;
    private double busyPicos;

    PulseWidthFraming(BusFormat format, LineFinding finding, FrameLog log) {
        this.format = format;
        this.line = (LineFormat.PulseWidth) format.line();
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
        anyEdge = symbolKnown = started = false;
        symbolPicos = activeEndPicos = atPicos;
        maker.begin(atPicos, false);
    }

    @Override
    public void runs(BitRuns runs) {
        for (int i = 0; i < runs.count; i++) {
            long at = runs.edgePicos[i];
            int level = runs.level[i];
            if (!anyEdge) {
                anyEdge = true;
                openLevel = level;
                if (level == 0) {
                    symbolPicos = at;
                    symbolKnown = true;
                }
                continue;
            }
            if (state > IDLE) maker.row.glitches += runs.ringing(i) + (openLevel == 0 ? runs.spikes(i) : 0);
            if (level == openLevel) continue;
            openLevel = level;
            if (level == 1) {
                activeEndPicos = at;
                symbol(at);
            } else {
                spaced(at);
                symbolPicos = at;
                symbolKnown = true;
            }
        }
    }

    /** The active part of a symbol has ended. */
    private void symbol(long at) {
        double micros = (at - symbolPicos) / MICRO;
        switch (state) {
            case IDLE -> start(micros, at);
            case FRAME -> {
                if (line.one().takes(micros)) bit(1, at);
                else if (line.zero().takes(micros)) bit(0, at);
                else broken(micros);
            }
            case REPLY -> {
                if (line.one().takes(micros)) reply.add(1);
                else if (line.zero().takes(micros)) reply.add(0);
                else broken(micros);
            }
            default -> { }
        }
    }

    private void start(double micros, long at) {
        maker.begin(symbolPicos, freeNext);
        times.begin(symbolPicos);
        started = line.start().takes(micros);
        if (started) {
            state = FRAME;
            times.edge(true, line.start().nominal(), at, false);
        } else {
            maker.fail(line.breakPulse().takes(micros) ? FrameFault.BREAK : FrameFault.NOISE, 0);
            state = BROKEN;
        }
    }

    private void bit(int value, long at) {
        maker.bits.add(value);
        double nominal = value == 1 ? line.one().nominal() : line.zero().nominal();
        times.edge(true, nominal, at, maker.bits.size() > maker.headerEnd());
        lastNominal = nominal;
    }

    private void broken(double micros) {
        maker.fail(line.breakPulse().takes(micros) ? FrameFault.BREAK : FrameFault.PULSE, maker.bits.size());
        state = BROKEN;
    }

    /** The next active edge: how long the symbol before it has lasted, active edge to active edge. */
    private void spaced(long at) {
        double micros = (at - symbolPicos) / MICRO;
        double passive = (at - activeEndPicos) / MICRO;
        if (micros >= line.endOfFrame().from() && passive >= restPassive()) {
            rested(at);
            freeNext = symbolKnown && micros > heldMicros;
            return;
        }
        if (state == FRAME) {
            if (started) {
                if (line.startTotal().takes(micros)) times.edge(false, line.startTotal().nominal()
                        - line.start().nominal(), at, false);
                else unspaced();
                started = false;
            } else if (line.bit().takes(micros)) {
                times.edge(false, line.bit().nominal() - lastNominal, at, maker.bits.size() > maker.headerEnd());
            } else if (line.endOfData().takes(micros) && reply.isKnown()) {
                maker.judge();
                // Nothing on the wire says whether this reply ends with a check, so none is asked for.
                reply.begin(false);
                state = REPLY;
            } else {
                unspaced();
            }
        } else if (state == REPLY && !line.bit().takes(micros)) {
            unspaced();
        }
    }

    /** Passive time that no symbol within a frame leaves: what the shortest end of frame leaves after a zero. */
    private double restPassive() {
        return Math.max(line.bit().until() - line.one().from(), line.endOfFrame().from() - line.zero().until());
    }

    private void unspaced() {
        maker.fail(FrameFault.PULSE, maker.bits.size());
        state = BROKEN;
    }

    private void rested(long at) {
        if (state == INTEGRATING && symbolKnown) {
            maker.fail(FrameFault.CUT, 0);
            close(at);
        } else if (state > IDLE) {
            close(at);
        }
        state = IDLE;
        started = false;
    }

    /** @param at until when the line has rested */
    private void close(long at) {
        boolean timed = state == FRAME || state == REPLY;
        if (state == FRAME) maker.judge();
        if (state == REPLY) reply.finish(maker);
        int read = maker.bits.size();
        maker.describe(state == BROKEN && maker.row.fault == FrameFault.PULSE ? read / 8 * 8 : read);
        if (timed) times.solve(maker.row);
        long end = Math.min(at, symbolPicos + Math.round(line.endOfFrame().nominal() * MICRO));
        maker.add(Math.max(end, maker.row.startPicos));
        busyPicos += end - maker.row.startPicos + (line.restMicros() - line.endOfFrame().nominal()) * MICRO;
    }

    @Override
    public void stop(long atPicos) {
        double since = (atPicos - symbolPicos) / MICRO;
        if (anyEdge && openLevel == 1 && since >= line.endOfFrame().from()
                && (atPicos - activeEndPicos) / MICRO >= restPassive()) rested(atPicos);
        boolean open = state > IDLE || state == INTEGRATING && symbolKnown;
        if (!open && anyEdge && openLevel == 0) {
            if (state == IDLE) maker.begin(symbolPicos, false);
            open = true;
        }
        if (open) {
            maker.fail(FrameFault.CUT, maker.bits.size());
            maker.describe(maker.bits.size());
            maker.add(Math.max(atPicos, maker.row.startPicos));
            busyPicos += Math.max(0, atPicos - maker.row.startPicos);
        }
        state = INTEGRATING;
        symbolKnown = anyEdge = false;
    }
}
