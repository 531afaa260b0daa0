package buswitness.map;

import java.util.Arrays;

/** Searches for numbers that move by one fixed step with every frame. */
final class CounterFinder {
    private static final double LOWEST_RATE = 0.8;
    private static final double REGULAR = 0.85;
    private static final double CARRIES = 0.8;
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

    /** The top bit turns when the bits below begin anew, and only then. */
    private boolean carriesInto(int top, int last) {
        int turns = 0;
        int turnsAtWrap = 0;
        int wraps = 0;
        int width = last - top;
        int up = 0;
        int down = 0;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            long step = rows.number(i, top + 1, width) - rows.number(before[i], top + 1, width);
            if (step > 0) up++;
            if (step < 0) down++;
        }
        // A single bit below has no direction of its own: it turns either way equally often.
        boolean either = width == 1;
        boolean rising = up >= down;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            long step = rows.number(i, top + 1, width) - rows.number(before[i], top + 1, width);
            boolean turn = rows.bit(i, top) != rows.bit(before[i], top);
            boolean wrap = either ? step != 0 : rising ? step < 0 : step > 0;
            if (turn) turns++;
            if (wrap) wraps++;
            if (turn && wrap) turnsAtWrap++;
        }
        if (either) return turnsAtWrap >= CARRIES * turns && turns >= 0.3 * wraps;
        return turnsAtWrap >= CARRIES * turns && turnsAtWrap >= CARRIES * wraps;
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
