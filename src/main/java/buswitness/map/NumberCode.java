package buswitness.map;

/**
 * How many bits it takes to write down how a field moves: the shorter the text, the better the bits belong together (J.
 * Rissanen, "Modeling by shortest data description", Automatica 14, 1978). A single bit is written as its turns; a number as
 * its departures from what its last values lead to expect, each by its size in powers of two, the rest in full.
 */
final class NumberCode {
    private static final int MOST_ROWS = 4000;
    private static final int WIDEST = 40;
    private static final double LOG2 = Math.log(2);

    private final PayloadRows rows;
    private final int[] before;
    private final int[] twice;
    private final int used;

    NumberCode(PayloadRows rows, int[] before) {
        this.rows = rows;
        this.before = before;
        used = Math.min(rows.size(), MOST_ROWS);
        twice = new int[used];
        for (int i = 0; i < used; i++) twice[i] = before[i] < 0 ? -1 : before[before[i]];
    }

    /** Bits for the field; infinite where it is too wide to ask. */
    double cost(int first, int width, boolean lowByteFirst) {
        if (width > WIDEST) return Double.POSITIVE_INFINITY;
        if (width == 1) return turns(first);
        long[] v = new long[used];
        for (int i = 0; i < used; i++) {
            long raw = rows.number(i, first, width);
            v[i] = lowByteFirst ? Long.reverseBytes(raw) >>> 64 - width : raw;
        }
        double best = Double.POSITIVE_INFINITY;
        for (int rule = 0; rule < 3; rule++) best = Math.min(best, number(v, width, rule));
        return best + 2;
    }

    private double turns(int bit) {
        int[][] n = new int[2][2];
        for (int i = 0; i < used; i++) if (before[i] >= 0) n[rows.bit(before[i], bit)][rows.bit(i, bit)]++;
        int all = n[0][0] + n[0][1] + n[1][0] + n[1][1];
        return entropy(n[0]) + entropy(n[1]) + log2(all + 1.0);
    }

    /** Departures from the last value, from the line through the last two, or from their mean. */
    private double number(long[] v, int width, int rule) {
        int[] classes = new int[66];
        double bits = 0;
        long half = 1L << width - 1;
        long mask = (half << 1) - 1;
        for (int i = 0; i < used; i++) {
            if (before[i] < 0) continue;
            long last = v[before[i]];
            long earlier = twice[i] < 0 ? last : v[twice[i]];
            long expected = rule == 0 ? last : rule == 1 ? 2 * last - earlier : (last + earlier) / 2;
            // The short way round, so that a signed number passes through zero in a small step.
            long off = v[i] - expected & mask;
            if (off >= half) off -= half << 1;
            int size = 64 - Long.numberOfLeadingZeros(Math.abs(off));
            classes[size]++;
            bits += size;
        }
        int kinds = 0;
        int all = 0;
        for (int c : classes) {
            if (c > 0) kinds++;
            all += c;
        }
        return bits + entropy(classes) + 0.5 * kinds * log2(all + 1.0);
    }

    /** Bits to say which of several classes each of so many things is in. */
    private static double entropy(int[] counts) {
        int all = 0;
        for (int c : counts) all += c;
        double sum = 0;
        for (int c : counts) if (c > 0) sum -= c * log2((double) c / all);
        return sum;
    }

    private static double log2(double v) {
        return Math.log(v) / LOG2;
    }
}
