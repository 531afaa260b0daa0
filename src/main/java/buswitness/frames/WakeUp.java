package buswitness.frames;

import buswitness.schema.LineFormat;

/**
 * The address byte that wakes a bus at a few bits a second (ISO 9141-2: 5 bit/s, start bit, eight bits with the lowest
 * first, stop bit), and how long after a wake-up its answers are awaited.
 */
final class WakeUp {
    /** The address is answered, and its answer echoed, within so long (W1 to W4 of ISO 9141-2, with room). */
    private static final double ANSWERED_SECONDS = 1;
    private static final int BITS = 10;

    private final double bitPicos;
    private boolean open;
    private boolean done;
    private boolean awaiting;
    private long fromPicos;
    private int level;
    private long lastPicos;
    private int sampled;
    private int word;

    WakeUp(LineFormat.Bytes line) {
        this.bitPicos = line.addressBitsPerSecond() > 0 ? 1e12 / line.addressBitsPerSecond() : Double.NaN;
    }

    void begin() {
        open = done = awaiting = false;
    }

    /** Whether an active level is long enough to be the start of an address byte. */
    boolean opens(long from, long until) {
        return until - from > 0.6 * bitPicos;
    }

    /** The active level that begins the address byte has been seen whole. */
    void start(long from, long until) {
        open = true;
        done = false;
        fromPicos = from;
        sampled = word = 0;
        level = 0;
        change(1, until);
    }

    void change(int to, long at) {
        while (sampled < BITS && fromPicos + (sampled + 0.5) * bitPicos < at) {
            word = word << 1 | level;
            sampled++;
        }
        if (sampled == BITS) done = true;
        level = to;
        lastPicos = at;
    }

    boolean isOpen() {
        return open;
    }

    boolean isDone() {
        return done;
    }

    /** Whether the edge that ended it opened something new. */
    boolean endsActive() {
        return level == 0;
    }

    int address() {
        return Integer.reverse(word >>> 1 & 0xFF) >>> 24;
    }

    long fromPicos() {
        return fromPicos;
    }

    long untilPicos() {
        return fromPicos + Math.round(BITS * bitPicos);
    }

    /** The bus has been woken: short stretches that follow answer it. */
    void woken(long at) {
        awaiting = true;
        lastPicos = at;
    }

    /** Whether what begins now may still answer; if so the next may, too. */
    boolean answersFrom(long at) {
        if (!awaiting || at - lastPicos > ANSWERED_SECONDS * 1e12) return false;
        lastPicos = at;
        return true;
    }

    void close() {
        open = done = awaiting = false;
    }
}
