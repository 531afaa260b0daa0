package buswitness.probe;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;

/**
 * Puts the probe's blocks on one line of time. A block that begins where the last one ended goes on; one that begins later
 * leaves a gap between; a probe that counts from anew is placed by the computer's clock, behind a gap.
 */
final class Timeline {
    private static final long FARTHEST_OFF_PICOS = 2_000_000_000_000L;
    private static final long LEAST_GAP_PICOS = 1_000_000L;

    private final EdgeSink sink;
    private final EdgeBlock block = new EdgeBlock();
    private double hertz;
    private boolean begun;
    private boolean anew = true;
    private boolean broken;
    private String missingWhy = "";
    private long originTicks;
    private long originPicos;
    private long knownTicks;
    private long knownPicos;
    private long knownNanos;
    private long heardNanos;
    private int level;
    long gaps;
    long changes;

    Timeline(EdgeSink sink, long hertz) {
        this.sink = sink;
        this.hertz = hertz;
    }

    /** The probe says how fast it counts; a probe that changed its mind has been replaced. */
    void counts(long newHertz) {
        if (newHertz != (long) hertz) anew = true;
        hertz = newHertz;
    }

    /** The port was closed and opened: the probe may have been, too. */
    void reopened() {
        broken = true;
    }

    boolean hasBegun() {
        return begun;
    }

    /**
     * Nothing is known up to an instant of the computer's clock: the port is gone or the probe is silent. What follows begins
     * anew behind it.
     */
    void missing(long untilPicos, long nanos, String why) {
        if (!begun || untilPicos <= knownPicos) return;
        sink.gap(0, knownPicos, untilPicos, why);
        missingWhy = why;
        gaps++;
        knownPicos = untilPicos;
        knownNanos = nanos;
        knownTicks = -1;
        sink.upTo(knownPicos);
    }

    /** Everything up to here is known, in picoseconds. */
    long knownPicos() {
        return knownPicos;
    }

    /** How long nothing has come from the probe, in nanoseconds; 0 before its first block. */
    long silentNanos(long nanos) {
        return begun ? Math.max(0, nanos - heardNanos) : 0;
    }

    /** Where an instant of the computer's clock lies, never before what is known. */
    long now(long nanos) {
        return begun ? knownPicos + Math.max(0, nanos - knownNanos) * 1000 : 0;
    }

    private long picos(long ticks) {
        long whole = (long) ((ticks - originTicks) / hertz);
        double rest = ticks - originTicks - whole * hertz;
        return originPicos + whole * 1_000_000_000_000L + Math.round(rest * 1e12 / hertz);
    }

    /** One block, see {@link LineDecoder.Listener}. */
    void take(long since, int levelThen, boolean missed, long[] after, int count, long nanos) {
        boolean restarted = anew || since < knownTicks
                || broken && Math.abs(picos(since) - now(nanos)) > FARTHEST_OFF_PICOS;
        restarted |= begun && (knownTicks < 0 || since != knownTicks) && picos(since) <= knownPicos;
        if (restarted) {
            originPicos = begun ? Math.max(knownPicos + LEAST_GAP_PICOS, now(nanos)) : 0;
            originTicks = since;
        }
        long from = picos(since);
        boolean goesOn = begun && !restarted && since == knownTicks && levelThen == level;
        if (begun && !goesOn) {
            String why = restarted ? "probe began anew; length by the computer's clock"
                    : missed ? "probe missed changes" : broken ? "the port was gone" : missingWhy.isEmpty()
                    ? "bytes lost on the way" : missingWhy;
            from = Math.max(from, knownPicos + 1);
            sink.gap(0, knownPicos, from, why);
            gaps++;
        }
        if (!goesOn) sink.begin(0, from, levelThen);
        begun = true;
        anew = broken = false;
        missingWhy = "";
        level = levelThen;
        deliver(since, from, after, count);
        knownNanos = heardNanos = nanos;
        sink.upTo(knownPicos);
    }

    private void deliver(long since, long from, long[] after, int count) {
        long ticks = since;
        long last = from;
        block.line = 0;
        block.count = 0;
        for (int i = 0; i < count; i++) {
            ticks += after[i];
            long at = picos(ticks);
            if (i == count - 1) {
                knownPicos = Math.max(at, last);
                break;
            }
            level ^= 1;
            at = Math.max(at, last + 1);
            block.atPicos[block.count] = at;
            block.level[block.count++] = (byte) level;
            last = at;
        }
        knownTicks = ticks;
        changes += block.count;
        if (block.count > 0) sink.edges(block);
    }
}
