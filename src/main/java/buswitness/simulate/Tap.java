package buswitness.simulate;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.LongConsumer;

/**
 * One line at the recorder: takes true level changes in time order, adds what only the recorder sees, stamps them by
 * the recorder's clock and tick, and hands them on in blocks. A pulse that begins and ends within one tick is lost.
 */
final class Tap {
    private final EdgeSink sink;
    private final EdgeBlock block = new EdgeBlock();
    private final RecorderBehaviour recorder;
    private final ClockPath clock;
    private final double startLocal;
    private final List<RecorderBehaviour.Missed> gaps;
    private final SplittableRandom random;
    private final LongConsumer beforeFlush;
    private final long endPicos;
    private Scope scope;
    private final long glitchPicos;
    private long nextGlitch = Long.MAX_VALUE;
    private int nextGap;
    private int level;
    private boolean begun;
    private long lastPicos = Long.MIN_VALUE;
    private double[] ringAt = new double[0];
    private int ringCount;

    /**
     * @param clock       the recorder's, shared by its lines
     * @param level       at the start
     * @param endPicos    true instant after which nothing is recorded
     * @param beforeFlush told the true instant up to which this line is about to be handed on
     */
    Tap(EdgeSink sink, int line, RecorderBehaviour recorder, ClockPath clock, int level, long endPicos,
        SplittableRandom random, LongConsumer beforeFlush) {
        this.sink = sink;
        this.recorder = recorder;
        this.clock = clock;
        this.level = level;
        this.endPicos = endPicos;
        this.random = random;
        this.beforeFlush = beforeFlush;
        block.line = line;
        startLocal = clock.toLocal(recorder.startsAtSeconds());
        gaps = recorder.gaps();
        glitchPicos = Math.max(1, Math.round(recorder.glitchNanos() * 1000));
        if (recorder.glitchesPerSecond() > 0) drawGlitch(0);
    }

    /** A recorder of voltages at the same place, told by the wire who drives it. Before anything happens. */
    void watch(Scope other) {
        scope = other;
    }

    /** Null where there is none. */
    Scope scope() {
        return scope;
    }

    /** True picoseconds to the recorder's, from the recording's time zero, before the tick rounds them. */
    double onClock(long truePicos) {
        return (clock.toLocal(truePicos * 1e-12) - startLocal) * 1e12;
    }

    private void drawGlitch(long after) {
        nextGlitch = after + Math.round(random.nextExponential() / recorder.glitchesPerSecond() * 1e12);
    }

    /** A change, true picoseconds, never before the last one. */
    void change(long atPicos, int to) {
        if (ringCount > 0) ring(atPicos);
        pulses(atPicos);
        stamp(atPicos, to);
        lastPicos = atPicos;
    }

    /**
     * A change after which the line rings: short pulses back to the other level, as far as there is room for them.
     *
     * @param drive whose ringing
     */
    void changeAndRing(long atPicos, int to, Drive drive) {
        change(atPicos, to);
        if (drive.ringPulses() == 0 || random.nextDouble() >= drive.ringShare()) return;
        if (ringAt.length < 2 * drive.ringPulses()) ringAt = new double[2 * drive.ringPulses()];
        double at = atPicos;
        ringCount = 2 * drive.ringPulses();
        for (int i = 0; i < ringCount; i++) {
            at += drive.ringNanos() * 1000 * (0.7 + 0.6 * random.nextDouble());
            ringAt[i] = at;
        }
    }

    private void ring(long until) {
        int count = ringCount;
        ringCount = 0;
        for (int i = 0; i + 1 < count && ringAt[i + 1] < until; i += 2) {
            change(Math.round(ringAt[i]), 1 - level);
            change(Math.round(ringAt[i + 1]), 1 - level);
        }
    }

    private void pulses(long until) {
        while (nextGlitch < until) {
            long from = nextGlitch;
            if (from > lastPicos && from + glitchPicos < until) {
                stamp(from, 1 - level);
                stamp(from + glitchPicos, 1 - level);
            }
            drawGlitch(from + glitchPicos);
        }
    }

    private void stamp(long atPicos, int to) {
        if (atPicos >= endPicos) return;
        double local = onClock(atPicos);
        double tick = recorder.tickPicos();
        long stamped = Math.round(Math.floor(local / tick) * tick);
        if (nextGap < gaps.size() && inGap(local, atPicos)) {
            level = to;
            return;
        }
        if (!begun) {
            if (stamped <= 0) {
                level = to;
                return;
            }
            begin(0);
        }
        level = to;
        int count = block.count;
        if (count > 0 && block.atPicos[count - 1] >= stamped) {
            block.count = count - 1;
            return;
        }
        if (count == EdgeBlock.CAPACITY) {
            flush(atPicos);
            count = 0;
        }
        block.atPicos[count] = stamped;
        block.level[count] = (byte) to;
        block.count = count + 1;
    }

    private void begin(long atPicos) {
        begun = true;
        sink.begin(block.line, atPicos, level);
    }

    private boolean inGap(double local, long atPicos) {
        while (nextGap < gaps.size() && local * 1e-12 >= gaps.get(nextGap).untilSeconds()) closeGap(atPicos);
        return nextGap < gaps.size() && local * 1e-12 >= gaps.get(nextGap).fromSeconds();
    }

    private void closeGap(long atPicos) {
        RecorderBehaviour.Missed gap = gaps.get(nextGap++);
        if (!begun) begin(0);
        flush(atPicos);
        long until = tickOf(gap.untilSeconds());
        sink.gap(block.line, tickOf(gap.fromSeconds()), until, "the recorder was not watching");
        begin(until);
    }

    private long tickOf(double seconds) {
        return Math.round(Math.floor(seconds * 1e12 / recorder.tickPicos()) * recorder.tickPicos());
    }

    private void flush(long atPicos) {
        if (block.count == 0) return;
        beforeFlush.accept(atPicos);
        sink.edges(block);
        block.count = 0;
    }

    /** Hands on all but the last change, which a pulse within the same tick could still take back. */
    void handOn() {
        int last = block.count - 1;
        if (last < 1) return;
        block.count = last;
        sink.edges(block);
        block.atPicos[0] = block.atPicos[last];
        block.level[0] = block.level[last];
        block.count = 1;
    }

    /** Hands on what is left. */
    void finish() {
        long atPicos = endPicos;
        if (ringCount > 0) ring(atPicos);
        pulses(atPicos);
        double local = onClock(atPicos);
        while (nextGap < gaps.size() && local * 1e-12 >= gaps.get(nextGap).untilSeconds()) closeGap(atPicos);
        if (!begun) begin(0);
        flush(atPicos);
        if (nextGap < gaps.size() && local * 1e-12 > gaps.get(nextGap).fromSeconds()) {
            sink.gap(block.line, tickOf(gaps.get(nextGap).fromSeconds()), Math.round(local), "the recorder stopped");
        }
    }
}
