package buswitness.frames;

import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;

/**
 * Frames of any bus of stuffed bits that a format describes, as an observer sees them. What {@link CanFraming} does for
 * CAN alone and faster; a test holds the two against each other.
 */
final class StuffedFraming implements Framing {
    private static final int INTEGRATING = 0;
    private static final int IDLE = 1;
    /** Start bit to the last field. */
    private static final int BODY = 2;
    /** Acknowledge and end of frame: fixed form. */
    private static final int TAIL = 3;
    private static final int RECOVERING = 4;
    private static final int INTERMISSION = 5;
    /** Delimiter, slot, delimiter. */
    private static final int ACKNOWLEDGE_BITS = 3;
    private static final int ACKNOWLEDGE_BIT = 1;
    /** A sender that may not speak at once after its own frame waits so many bits more (CAN: suspend transmission). */
    private static final int SUSPENDED_BITS = 8;

    private final String name;
    private final LineFormat.Stuffed line;
    private final StuffedStretch stretch;
    private final double bitPicos;
    private final int stuffRun;
    private final int tailBits;
    private final int integrationBits;
    private final int delimiterBits;
    private final int restBits;
    private final double heldPicos;

    private int state;
    private boolean stuffNext;
    private int tailBit;
    private boolean flagSeen;
    private int delimiterBit;
    private int intermissionBit;
    private long lastEndPicos;
    private boolean lastEndKnown;
    private double busyPicos;

    StuffedFraming(BusFormat format, LineFinding finding, FrameLog log) {
        this.name = format.name();
        this.line = (LineFormat.Stuffed) format.line();
        this.bitPicos = finding.bitPicos();
        this.stretch = new StuffedStretch(format, finding, log);
        this.stuffRun = line.stuffAfter() == 0 ? Integer.MAX_VALUE : line.stuffAfter();
        this.tailBits = (line.acknowledge() ? ACKNOWLEDGE_BITS : 0) + line.endBits();
        this.restBits = line.restBits();
        this.integrationBits = (line.acknowledge() ? 1 : 0) + line.endBits() + restBits;
        this.delimiterBits = line.endBits() + 1;
        this.heldPicos = (restBits + (line.errorFlags() ? SUSPENDED_BITS : 0) + 1) * bitPicos;
    }

    @Override
    public String name() {
        return name;
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
            int glitches = runs.glitches[i];
            switch (state) {
                case BODY -> body(level, bits, edge, glitches);
                case TAIL -> {
                    addGlitches(level, bits, glitches);
                    if (tailBit <= 0) stretch.edge(level, edge);
                    tail(level, bits, edge);
                }
                case RECOVERING -> {
                    addGlitches(level, bits, glitches);
                    recover(level, bits, edge);
                }
                case INTERMISSION -> intermission(level, bits, edge, glitches);
                case IDLE -> {
                    if (level == 0) start(bits, edge, glitches);
                }
                default -> integrate(level, bits, edge, glitches);
            }
        }
    }

    /** What is filtered in the silence after a frame is not the frame's. */
    private void addGlitches(int level, int bits, int glitches) {
        int spikes = level == 1 && bits > Math.min(stuffRun, line.endBits()) ? 0 : glitches >>> 16;
        stretch.addGlitches((glitches & 0xFFFF) + spikes);
    }

    private void integrate(int level, int bits, long edge, int glitches) {
        boolean idle = level == 1 && bits >= integrationBits;
        if (idle && stretch.isBlank()) {
            state = IDLE;
            return;
        }
        addGlitches(level, bits, glitches);
        stretch.note(idle ? integrationBits : bits, level);
        if (!idle) return;
        stretch.fail(FrameFault.CUT);
        close(edge + Math.round(integrationBits * bitPicos), IDLE);
    }

    private void start(int bits, long edge, int glitches) {
        stretch.begin(edge, lastEndKnown && edge - lastEndPicos > heldPicos);
        stuffNext = false;
        state = BODY;
        body(0, bits, edge, glitches);
    }

    private void body(int level, int bits, long edge, int glitches) {
        stretch.addGlitches((glitches & 0xFFFF) + (bits > stuffRun ? 0 : glitches >>> 16));
        stretch.edge(level, edge);
        stretch.beginRun();
        int at = 0;
        if (stuffNext) at = 1;
        stuffNext = false;
        for (; at < bits; at++) {
            if (at >= stuffRun && stretch.isStuffed()) {
                breakBody(level, bits, edge);
                return;
            }
            if (!stretch.read(level)) continue;
            int used = at + 1;
            boolean stuffed = used == stuffRun && stretch.isStuffed();
            if (stuffed && bits > used) {
                breakBody(level, bits, edge);
            } else {
                // The last field may end in a full run: its stuff bit still comes before what follows.
                endBody(level, bits, used, stuffed ? -1 : 0, edge);
            }
            return;
        }
        stretch.note(bits, level);
        stuffNext = bits == stuffRun && stretch.isStuffed();
    }

    private void breakBody(int level, int bits, long edge) {
        stretch.breakBody(broken(level, bits));
        flagSeen = false;
        delimiterBit = 0;
        recover(level, bits, edge);
    }

    private FrameFault broken(int level, int bits) {
        if (level == 1) return FrameFault.STUFF;
        // Flags of nodes that saw a start bit on an idle bus end by then; a line held down longer is something else.
        if (stretch.isFirstRun() && bits > 2 * (stuffRun + 1) + 1) return FrameFault.NOISE;
        return line.errorFlags() ? FrameFault.ERROR_FLAG : FrameFault.STUFF;
    }

    private void endBody(int level, int bits, int used, int firstTailBit, long edge) {
        stretch.complete();
        if (stretch.isDoubtful() && level == 1 && bits >= integrationBits) {
            stretch.note(integrationBits, 1);
            close(edge + Math.round(integrationBits * bitPicos), IDLE);
            return;
        }
        stretch.note(used, level);
        tailBit = firstTailBit;
        flagSeen = false;
        delimiterBit = 0;
        state = TAIL;
        if (bits > used) tail(level, bits - used, edge + Math.round(used * bitPicos));
    }

    private void tail(int level, int bits, long edge) {
        if (level == 1) recessiveTail(bits, edge);
        else dominantTail(bits, edge);
    }

    private void recessiveTail(int bits, long edge) {
        int until = tailBit + bits;
        if (line.acknowledge() && tailBit <= ACKNOWLEDGE_BIT && until > ACKNOWLEDGE_BIT) {
            stretch.failTail(FrameFault.ACKNOWLEDGE, ACKNOWLEDGE_BIT);
        }
        int used = Math.min(bits, tailBits - tailBit);
        stretch.note(used, 1);
        tailBit += used;
        if (tailBit < tailBits) return;
        boolean idle = stretch.isDoubtful() && bits >= integrationBits;
        close(edge + Math.round(used * bitPicos), idle ? IDLE : INTERMISSION);
        if (bits > used && !idle) intermission(1, bits - used, edge + Math.round(used * bitPicos), 0);
    }

    /** As in {@link CanFraming}: a short wrong level leaves the place in the frame as it is. */
    private void dominantTail(int bits, long edge) {
        if (tailBit == tailBits - 1 && !stretch.isDoubtful()) {
            close(edge, INTERMISSION);
            intermissionBit = -1;
            disturbIntermission(bits, edge, 0);
            return;
        }
        int until = Math.min(tailBit + bits, tailBits - 1);
        for (int at = Math.max(tailBit, 0); at < until; at++) {
            if (line.acknowledge() && at == ACKNOWLEDGE_BIT) stretch.acknowledged();
            else stretch.failTail(FrameFault.FORM, at);
        }
        boolean acknowledge = line.acknowledge() && tailBit <= ACKNOWLEDGE_BIT && tailBit + bits == ACKNOWLEDGE_BIT + 1;
        if (bits > stuffRun || stretch.isDoubtful() && !acknowledge) {
            recover(0, bits, edge);
            return;
        }
        int used = Math.min(bits, tailBits - tailBit);
        stretch.note(used, 0);
        tailBit += used;
        if (tailBit < tailBits) return;
        long end = edge + Math.round(used * bitPicos);
        close(end, INTERMISSION);
        if (bits > used) intermission(0, bits - used, end, 0);
    }

    private void recover(int level, int bits, long edge) {
        state = RECOVERING;
        if (level == 0) {
            if (line.errorFlags() && bits > stuffRun && flagSeen && delimiterBit == delimiterBits - 1) {
                close(edge, INTERMISSION);
                overload(bits, edge, 0);
                return;
            }
            flagSeen |= line.errorFlags() && bits > stuffRun;
            delimiterBit = 0;
            stretch.note(bits, 0);
            return;
        }
        int need = flagSeen ? delimiterBits : integrationBits;
        int used = Math.min(bits, need);
        stretch.note(used, 1);
        delimiterBit = bits;
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
            int used = Math.min(bits, restBits - intermissionBit);
            busyPicos += used * bitPicos;
            intermissionBit += used;
            if (intermissionBit == restBits) state = IDLE;
        } else if (intermissionBit == restBits - 1) {
            start(bits, edge, glitches);
        } else {
            disturbIntermission(bits, edge, glitches);
        }
    }

    private void disturbIntermission(int bits, long edge, int glitches) {
        if (bits > 1 && bits <= stuffRun) {
            start(bits, edge, glitches);
            return;
        }
        if (bits > stuffRun) {
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
        boolean flag = line.errorFlags() && bits <= 2 * (stuffRun + 1) + 1;
        stretch.fail(flag ? FrameFault.OVERLOAD : FrameFault.NOISE);
        flagSeen = false;
        delimiterBit = 0;
        recover(0, bits, edge);
    }

    private void close(long end, int next) {
        stretch.close(end);
        busyPicos += end - stretch.startPicos();
        lastEndPicos = end;
        lastEndKnown = true;
        intermissionBit = 0;
        state = next == INTERMISSION && restBits == 0 ? IDLE : next;
    }

    @Override
    public void stop(long atPicos) {
        boolean open = state == BODY || state == TAIL || state == RECOVERING
                || state == INTEGRATING && stretch.isActive();
        if (open) {
            if (state != TAIL || tailBit < tailBits - 1) stretch.failOpen();
            close(Math.max(atPicos, stretch.startPicos()), INTEGRATING);
        }
        state = INTEGRATING;
        lastEndKnown = false;
    }
}
