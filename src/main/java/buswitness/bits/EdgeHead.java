package buswitness.bits;

import java.util.Arrays;

/**
 * The bounded first part of one line's recording, kept until rate and polarity are known, with the places where
 * watching began and ended. Memory: at most {@link #MOST_CHANGES} changes.
 */
final class EdgeHead {
    static final int MOST_CHANGES = 32_768;
    /** A recording that is nothing but gaps must not grow the head either. */
    private static final int MOST_SPANS = 1024;

    private final int most;
    long[] atPicos = new long[1024];
    byte[] level = new byte[1024];
    int count;

    /** Watched spans: first change, instants of beginning and end, level at the beginning. */
    private int[] spanFrom = new int[16];
    private long[] spanBegin = new long[16];
    private long[] spanStop = new long[16];
    private byte[] spanLevel = new byte[16];
    private int spans;
    private boolean open;

    /** @param most changes kept, up to {@link #MOST_CHANGES} */
    EdgeHead(int most) {
        this.most = Math.min(most, MOST_CHANGES);
    }

    boolean isFull() {
        return count >= most || spans >= MOST_SPANS && !open;
    }

    boolean isOpen() {
        return open;
    }

    void begin(long at, int startLevel) {
        if (spans == spanFrom.length) {
            int more = spans * 2;
            spanFrom = Arrays.copyOf(spanFrom, more);
            spanBegin = Arrays.copyOf(spanBegin, more);
            spanStop = Arrays.copyOf(spanStop, more);
            spanLevel = Arrays.copyOf(spanLevel, more);
        }
        spanFrom[spans] = count;
        spanBegin[spans] = at;
        spanStop[spans] = at;
        spanLevel[spans] = (byte) startLevel;
        spans++;
        open = true;
    }

    void stop(long at) {
        if (open) spanStop[spans - 1] = at;
        open = false;
    }

    /** Takes changes until full. @return how many were taken */
    int take(long[] at, byte[] levels, int from, int until) {
        int n = Math.min(until - from, most - count);
        if (count + n > atPicos.length) {
            int more = Math.min(most, Math.max(count + n, atPicos.length * 2));
            atPicos = Arrays.copyOf(atPicos, more);
            level = Arrays.copyOf(level, more);
        }
        System.arraycopy(at, from, atPicos, count, n);
        System.arraycopy(levels, from, level, count, n);
        count += n;
        return n;
    }

    int spans() {
        return spans;
    }

    int from(int span) {
        return spanFrom[span];
    }

    int until(int span) {
        return span + 1 < spans ? spanFrom[span + 1] : count;
    }

    long begin(int span) {
        return spanBegin[span];
    }

    int level(int span) {
        return spanLevel[span];
    }

    /** End of watching; for the span that is still open, its last change. */
    long stop(int span) {
        if (span == spans - 1 && open) return count > from(span) ? atPicos[count - 1] : spanBegin[span];
        return spanStop[span];
    }

    /** Greatest common divisor of all distances: the recorder's tick, or 0 where there are too few to tell. */
    double commonTick() {
        if (count < 16) return 0;
        long tick = 0;
        for (int i = 1; i < count; i++) {
            long a = atPicos[i] - atPicos[i - 1];
            while (a != 0) {
                long rest = tick % a;
                tick = a;
                a = rest;
            }
        }
        return tick;
    }
}
