package buswitness.map;

import java.util.Arrays;

/** Searches for numbers that move by one fixed step with every frame. */
final class CounterFinder {
    private static final double LOWEST_RATE = 0.8;
    private static final double REGULAR = 0.85;
    private static final double CARRIES = 0.7;
    private static final int FEWEST = 8;
    private static final int WIDEST = 16;

    private final PayloadRows rows;
    private final BitFlips flips;
    private final int[] before;

    /** @param step per frame, modulo 2^width; @param regular share of frames that keep to it */
    record Found(int firstBit, int width, long step, double regular, long least, long most) {}

    CounterFinder(PayloadRows rows, BitFlips flips, int[] before) {
        this.rows = rows;
        this.flips = flips;
        this.before = before;
    }

    /** The counter whose lowest bit this is, or null. */
    Found endingAt(int bit, boolean[] taken) {
        if (taken[bit] || flips.transitions < FEWEST || flips.rate(bit) < LOWEST_RATE) return null;
        Found best = null;
        for (int width = 2; width <= WIDEST && width <= bit + 1; width++) {
            int top = bit - width + 1;
            if (taken[top] || flips.flips[top] < (width <= 4 ? 2 : 1)) break;
            if (!carriesInto(top, bit)) break;
            Found found = regular(top, width);
            if (found != null) best = found;
        }
        return best;
    }

    /** The top bit turns when the step carries into it, and only then; where a range ends is left out. */
    private boolean carriesInto(int top, int last) {
        int width = last - top + 1;
        long modulo = 1L << width;
        long half = modulo >> 1;
        long most = Long.MIN_VALUE;
        long least = Long.MAX_VALUE;
        long[] steps = new long[before.length];
        int n = 0;
        for (int i = 0; i < before.length; i++) {
            long v = rows.number(i, top, width);
            most = Math.max(most, v);
            least = Math.min(least, v);
            if (before[i] >= 0) steps[n++] = Math.floorMod(v - rows.number(before[i], top, width), modulo);
        }
        if (n == 0) return false;
        long step = commonest(Arrays.copyOf(steps, n));
        int turns = 0;
        int due = 0;
        int both = 0;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            long from = rows.number(before[i], top, width);
            long to = rows.number(i, top, width);
            boolean endOfRange = from == most && to == least || from == least && to == most;
            if (endOfRange && Math.floorMod(to - from, modulo) != step) continue;
            boolean turn = (from & half) != (to & half);
            boolean wanted = (from & half) != (from + step & half);
            if (turn) turns++;
            if (wanted) due++;
            if (turn && wanted) both++;
        }
        return turns > 0 && both >= CARRIES * turns && both >= CARRIES * due;
    }

    private Found regular(int top, int width) {
        long modulo = 1L << width;
        long least = Long.MAX_VALUE;
        long most = Long.MIN_VALUE;
        long[] steps = new long[before.length];
        int n = 0;
        for (int i = 0; i < before.length; i++) {
            long v = rows.number(i, top, width);
            least = Math.min(least, v);
            most = Math.max(most, v);
            if (before[i] >= 0) steps[n++] = Math.floorMod(v - rows.number(before[i], top, width), modulo);
        }
        if (n == 0 || most - least < 2) return null;
        long step = commonest(Arrays.copyOf(steps, n));
        if (step == 0) return null;
        long signed = step > modulo / 2 ? step - modulo : step;
        int kept = 0;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            long from = rows.number(before[i], top, width);
            long to = rows.number(i, top, width);
            boolean wraps = signed > 0 ? from + signed > most && to - least < signed
                    : from + signed < least && most - to < -signed;
            if (Math.floorMod(to - from, modulo) == step || wraps) kept++;
        }
        double share = (double) kept / n;
        return share < REGULAR ? null : new Found(top, width, signed, share, least, most);
    }

    private static long commonest(long[] values) {
        Arrays.sort(values);
        long best = values[0];
        int most = 0;
        for (int i = 0; i < values.length; ) {
            int j = i;
            while (j < values.length && values[j] == values[i]) j++;
            if (j - i > most) {
                most = j - i;
                best = values[i];
            }
            i = j;
        }
        return best;
    }
}
