package buswitness.bits;

/**
 * Removes runs too short to be symbols. A change that settles is placed at its first crossing, however often the line
 * rings before it stays; an excursion that comes back at once leaves no change behind. Every filtered run is counted.
 * One change is held back until the next shows that it lasted.
 */
final class GlitchFilter {
    /** Settled changes of the last call: instants, levels, and filtered runs (ringing low, earlier spikes high). */
    long[] atPicos = new long[0];
    byte[] level = new byte[0];
    int[] glitches = new int[0];
    int count;
    /** Runs filtered since the beginning. */
    long filtered;

    private final long shortestPicos;
    private int stable;
    private int current;
    private long lastPicos;
    private long firstPicos;
    private int ringing;
    private int spikes;

    /** @param shortestPicos runs shorter than this are glitches; 0 or more */
    GlitchFilter(long shortestPicos) {
        this.shortestPicos = shortestPicos;
    }

    /** The line's level when watching begins. */
    void begin(long at, int level) {
        stable = current = level;
        // As if the level had been there for long: what came before is unknown and must not look like a glitch.
        lastPicos = at - shortestPicos;
        firstPicos = at;
        ringing = spikes = 0;
        count = 0;
    }

    /** Filters changes {@code from} to {@code until}; the result replaces the last one. */
    void filter(long[] at, byte[] levels, int from, int until) {
        if (atPicos.length < until - from + 1) grow(until - from + 1);
        int out = 0;
        for (int i = from; i < until; i++) {
            long now = at[i];
            int next = levels[i];
            if (next == current) continue;
            if (now - lastPicos >= shortestPicos) {
                if (current != stable) out = settle(out);
                else if (ringing != 0) spikes += ringing;
                ringing = 0;
                firstPicos = now;
            } else {
                ringing++;
                filtered++;
            }
            current = next;
            lastPicos = now;
        }
        count = out;
    }

    /** Watching ends: the change that was held back counts if it has lasted. The result replaces the last one. */
    void stop(long at) {
        if (atPicos.length < 1) grow(1);
        count = 0;
        if (current == stable) return;
        if (at - lastPicos >= shortestPicos) count = settle(0);
        else filtered++;
    }

    private int settle(int out) {
        atPicos[out] = firstPicos;
        level[out] = (byte) current;
        glitches[out] = Math.min(ringing, 0xFFFF) | Math.min(spikes, 0x7FFF) << 16;
        stable = current;
        spikes = 0;
        return out + 1;
    }

    private void grow(int size) {
        atPicos = new long[size];
        level = new byte[size];
        glitches = new int[size];
    }
}
