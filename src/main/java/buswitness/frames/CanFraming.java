package buswitness.frames;

import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;

/**
 * Classical CAN as an observer sees it who is neither transmitter nor receiver (ISO 11898-1; clauses below are those of
 * Bosch CAN FD 1.0, 2012, which holds the classical rules). Walks from run to run: inside a frame a run of five equal
 * bits is followed by a stuff bit, and one of six is no frame any more.
 */
final class CanFraming implements Framing {
    /** The past is unknown: eleven recessive bits show an idle bus (3.3). */
    private static final int INTEGRATING = 0;
    private static final int IDLE = 1;
    /** Start of frame to the last check bit, with stuff bits. */
    private static final int BODY = 2;
    /** Check delimiter, acknowledge, end of frame: fixed form. */
    private static final int TAIL = 3;
    /** After a fault: flags, then a delimiter of eight recessive bits, or eleven without a flag. */
    private static final int RECOVERING = 4;
    private static final int INTERMISSION = 5;

    private static final int STUFF_RUN = 5;
    private static final int INTEGRATION_BITS = 11;
    private static final int DELIMITER_BITS = 8;
    private static final int INTERMISSION_BITS = 3;
    /** A sender held back by the bus starts at the latest after intermission 3 + suspend 8 + 1 bits. */
    private static final int HELD_BITS = 12;
    /** Flags of several nodes superpose to twelve bits at most (3.2.3), one more for what they answered. */
    private static final int LONGEST_FLAGS = 13;

    private final CanStretch stretch;
    private final double bitPicos;

    private int state;
    private boolean stuffNext;
    private int tailBit;
    private boolean flagSeen;
    private int delimiterBits;
    private int intermissionBit;
    private long lastEndPicos;
    private boolean lastEndKnown;
    private double busyPicos;

    CanFraming(LineFinding finding, FrameLog log) {
        this.bitPicos = finding.bitPicos();
        this.stretch = new CanStretch(log, finding);
    }

    @Override
    public String name() {
        return "can";
    }

    @Override
    public double busyPicos() {
        return busyPicos;
    }

    @Override
    public void begin(long atPicos) {
        state = INTEGRATING;
        lastEndKnown = false;
        stretch.begin(atPicos, false);
    }

    @Override
    public void runs(BitRuns runs) {
        for (int i = 0; i < runs.count; i++) {
            int level = runs.level[i];
            int bits = runs.bits[i];
            long edge = runs.edgePicos[i];
            switch (state) {
                case BODY -> body(level, bits, edge, runs.glitches[i]);
                case TAIL -> {
                    addGlitches(level, bits, runs.glitches[i]);
                    if (tailBit <= 0) stretch.edge(level, edge);
                    tail(level, bits, edge);
                }
                case RECOVERING -> {
                    addGlitches(level, bits, runs.glitches[i]);
                    recover(level, bits, edge);
                }
                case INTERMISSION -> intermission(level, bits, edge, runs.glitches[i]);
                case IDLE -> {
                    if (level == 0) start(bits, edge, runs.glitches[i]);
                }
                default -> integrate(level, bits, edge, runs.glitches[i]);
            }
        }
    }

    /** What is filtered in the silence after a frame is not the frame's. */
    private void addGlitches(int level, int bits, int glitches) {
        int spikes = level == 1 && bits > STUFF_RUN ? 0 : glitches >>> 16;
        stretch.addGlitches((glitches & 0xFFFF) + spikes);
    }

    private void integrate(int level, int bits, long edge, int glitches) {
        boolean idle = level == 1 && bits >= INTEGRATION_BITS;
        if (idle && stretch.isBlank()) {
            state = IDLE;
            return;
        }
        addGlitches(level, bits, glitches);
        stretch.note(idle ? INTEGRATION_BITS : bits, level);
        if (!idle) return;
        stretch.fail(FrameFault.CUT);
        close(edge + Math.round(INTEGRATION_BITS * bitPicos), IDLE);
    }

    /** A dominant bit on an idle bus. */
    private void start(int bits, long edge, int glitches) {
        boolean free = lastEndKnown && edge - lastEndPicos > HELD_BITS * bitPicos;
        stretch.begin(edge, free);
        stuffNext = false;
        state = BODY;
        body(0, bits, edge, glitches);
    }

    private void body(int level, int bits, long edge, int glitches) {
        stretch.addGlitches((glitches & 0xFFFF) + (bits > STUFF_RUN ? 0 : glitches >>> 16));
        int stuff = stuffNext ? 1 : 0;
        int usable = Math.min(bits, STUFF_RUN);
        stretch.edge(level, edge);
        int beyond = stretch.read(level, usable - stuff);
        if (beyond < 0 && bits <= STUFF_RUN) {
            stretch.note(bits, level);
            stuffNext = bits == STUFF_RUN;
            return;
        }
        if (beyond >= 0 && usable - beyond < STUFF_RUN) {
            endBody(level, bits, usable - beyond, 0, edge);
        } else if (beyond >= 0 && bits == STUFF_RUN) {
            // The check sequence ends in five equal bits: their stuff bit still comes before the delimiter (clause 5).
            endBody(level, bits, bits, -1, edge);
        } else {
            stretch.breakBody(broken(level, bits));
            flagSeen = false;
            delimiterBits = 0;
            recover(level, bits, edge);
        }
    }

    private FrameFault broken(int level, int bits) {
        if (level == 1) return FrameFault.STUFF;
        // Flags of nodes that saw a start bit on an idle bus end by then; a line held down longer is something else.
        return stretch.isFirstRun() && bits > LONGEST_FLAGS ? FrameFault.NOISE : FrameFault.ERROR_FLAG;
    }

    private void endBody(int level, int bits, int used, int firstTailBit, long edge) {
        stretch.checkSequence();
        if (stretch.isDoubtful() && level == 1 && bits >= INTEGRATION_BITS) {
            // The real end of a frame whose fields have slipped: the bus is idle, whatever the tail would ask for.
            stretch.note(INTEGRATION_BITS, 1);
            close(edge + Math.round(INTEGRATION_BITS * bitPicos), IDLE);
            return;
        }
        stretch.note(used, level);
        tailBit = firstTailBit;
        flagSeen = false;
        delimiterBits = 0;
        state = TAIL;
        if (bits > used) tail(level, bits - used, edge + Math.round(used * bitPicos));
    }

    /**
     * Fixed form. A wrong level of fewer than six bits leaves the place in the frame as it is: nobody answered it with
     * a flag, so the others saw the frame go on.
     */
    private void tail(int level, int bits, long edge) {
        if (level == 1) recessiveTail(bits, edge);
        else dominantTail(bits, edge);
    }

    private void recessiveTail(int bits, long edge) {
        int until = tailBit + bits;
        if (tailBit <= CanStretch.ACKNOWLEDGE_BIT && until > CanStretch.ACKNOWLEDGE_BIT) {
            stretch.failTail(FrameFault.ACKNOWLEDGE, CanStretch.ACKNOWLEDGE_BIT);
        }
        int used = Math.min(bits, CanStretch.TAIL_BITS - tailBit);
        stretch.note(used, 1);
        tailBit += used;
        if (tailBit < CanStretch.TAIL_BITS) return;
        // Where the check failed the fields may have slipped, and the place in the tail with them.
        boolean idle = stretch.isDoubtful() && bits >= INTEGRATION_BITS;
        close(edge + Math.round(used * bitPicos), idle ? IDLE : INTERMISSION);
        if (!idle && bits > used) intermission(1, bits - used, edge + Math.round(used * bitPicos), 0);
    }

    private void dominantTail(int bits, long edge) {
        if (tailBit == CanStretch.LAST_TAIL_BIT && !stretch.isDoubtful()) {
            // Dominant in the last bit is an overload condition; for everybody but the transmitter the frame is valid.
            close(edge, INTERMISSION);
            intermissionBit = -1;
            disturbIntermission(bits, edge, 0);
            return;
        }
        int until = Math.min(tailBit + bits, CanStretch.LAST_TAIL_BIT);
        for (int at = Math.max(tailBit, 0); at < until; at++) {
            if (at == CanStretch.ACKNOWLEDGE_BIT) stretch.acknowledged();
            else stretch.failTail(FrameFault.FORM, at);
        }
        if (bits > STUFF_RUN || stretch.isDoubtful() && !(tailBit <= CanStretch.ACKNOWLEDGE_BIT
                && tailBit + bits == CanStretch.ACKNOWLEDGE_BIT + 1)) {
            recover(0, bits, edge);
            return;
        }
        int used = Math.min(bits, CanStretch.TAIL_BITS - tailBit);
        stretch.note(used, 0);
        tailBit += used;
        if (tailBit < CanStretch.TAIL_BITS) return;
        long end = edge + Math.round(used * bitPicos);
        close(end, INTERMISSION);
        if (bits > used) intermission(0, bits - used, end, 0);
    }

    private void recover(int level, int bits, long edge) {
        state = RECOVERING;
        if (level == 0) {
            if (bits > STUFF_RUN && flagSeen && delimiterBits == DELIMITER_BITS - 1) {
                // Dominant in the last bit of the delimiter asks for an overload frame (3.2.4).
                close(edge, INTERMISSION);
                overload(bits, edge, 0);
                return;
            }
            flagSeen |= bits > STUFF_RUN;
            delimiterBits = 0;
            stretch.note(bits, 0);
            return;
        }
        int need = flagSeen ? DELIMITER_BITS : INTEGRATION_BITS;
        int used = Math.min(bits, need);
        stretch.note(used, 1);
        delimiterBits = bits;
        if (bits < need) return;
        long end = edge + Math.round(used * bitPicos);
        if (!flagSeen) {
            stretch.judgeNoise();
            close(end, IDLE);
            return;
        }
        close(end, INTERMISSION);
        if (bits > used) intermission(1, bits - used, end, 0);
    }

    private void intermission(int level, int bits, long edge, int glitches) {
        if (level == 1) {
            int used = Math.min(bits, INTERMISSION_BITS - intermissionBit);
            busyPicos += used * bitPicos;
            intermissionBit += used;
            if (intermissionBit == INTERMISSION_BITS) state = IDLE;
        } else if (intermissionBit == INTERMISSION_BITS - 1) {
            start(bits, edge, glitches);
        } else {
            disturbIntermission(bits, edge, glitches);
        }
    }

    /** Dominant where nobody may start: an overload flag, a lone bit of noise, or somebody who starts too early. */
    private void disturbIntermission(int bits, long edge, int glitches) {
        if (bits > 1 && bits <= STUFF_RUN) {
            start(bits, edge, glitches);
            return;
        }
        if (bits > STUFF_RUN) {
            overload(bits, edge, glitches);
            return;
        }
        stretch.begin(edge, false);
        stretch.addGlitches((glitches & 0xFFFF) + (glitches >>> 16));
        int before = intermissionBit;
        stretch.note(bits, 0);
        stretch.fail(FrameFault.NOISE);
        close(edge + Math.round(bits * bitPicos), INTERMISSION);
        intermissionBit = before + bits;
    }

    private void overload(int bits, long edge, int glitches) {
        stretch.begin(edge, false);
        stretch.addGlitches((glitches & 0xFFFF) + (glitches >>> 16));
        stretch.fail(bits > LONGEST_FLAGS ? FrameFault.NOISE : FrameFault.OVERLOAD);
        flagSeen = false;
        delimiterBits = 0;
        recover(0, bits, edge);
    }

    private void close(long end, int next) {
        stretch.close(end);
        busyPicos += end - stretch.startPicos();
        lastEndPicos = end;
        lastEndKnown = true;
        intermissionBit = 0;
        state = next;
    }

    @Override
    public void stop(long atPicos) {
        boolean open = state == BODY || state == TAIL || state == RECOVERING
                || state == INTEGRATING && stretch.isActive();
        if (open) {
            if (state != TAIL || tailBit < CanStretch.LAST_TAIL_BIT) stretch.failOpen();
            close(Math.max(atPicos, stretch.startPicos()), INTEGRATING);
        }
        state = INTEGRATING;
        lastEndKnown = false;
    }
}
