package buswitness.map;

/**
 * How often each bit of a message changes from one frame to the next, and which neighbours change with it. Bit-flip rates
 * after M. Marchetti and D. Stabili, "READ: Reverse Engineering of Automotive Data Frames", IEEE Transactions on
 * Information Forensics and Security 14(4), 2019 (online 2018); the carry between neighbours is ours.
 */
final class BitFlips {
    final int bits;
    final int transitions;
    final int[] flips;
    private final PayloadRows rows;
    private final int[] before;

    /** @param before for each row the one to compare with, or -1 */
    BitFlips(PayloadRows rows, int[] before) {
        this.rows = rows;
        this.before = before;
        bits = rows.bits();
        flips = new int[bits];
        int n = 0;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            n++;
            byte[] now = rows.data[i];
            byte[] then = rows.data[before[i]];
            for (int b = 0; b < rows.length; b++) {
                int changed = (now[b] ^ then[b]) & 0xFF;
                while (changed != 0) {
                    flips[8 * b + Integer.numberOfLeadingZeros(changed) - 24]++;
                    changed &= ~Integer.highestOneBit(changed);
                }
            }
        }
        transitions = n;
    }

    double rate(int bit) {
        return transitions == 0 ? 0 : (double) flips[bit] / transitions;
    }

    boolean changes(int bit) {
        return flips[bit] > 0;
    }

    /** Evidence that {@code low} is the next lower digit of the number in which {@code high} is one: log10 of odds. */
    double carry(int high, int low) {
        int n = flips[high];
        int both = 0;
        int opposite = 0;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            int h = rows.bit(i, high) - rows.bit(before[i], high);
            if (h == 0) continue;
            int l = rows.bit(i, low) - rows.bit(before[i], low);
            if (l == 0) continue;
            both++;
            if (l != h) opposite++;
        }
        // In a number a carry into the high digit turns the low one over, or leaves it to chance where steps are large.
        double same = upperHalf(both, n) + upperHalf(opposite, both);
        double r = Math.max(0.5 / Math.max(1, transitions), Math.min(1 - 1e-9, rate(low)));
        double apart = both * Math.log10(r) + (n - both) * Math.log10(1 - r) + both * Math.log10(0.5);
        return same - apart;
    }

    /** log10 of the mean of q^k (1-q)^(n-k) over q from 0.5 to 1. */
    private static double upperHalf(int k, int n) {
        int steps = 60;
        double most = Double.NEGATIVE_INFINITY;
        double[] terms = new double[steps];
        for (int s = 0; s < steps; s++) {
            double q = 0.5 + (s + 0.5) / steps / 2;
            terms[s] = k * Math.log10(q) + (n - k) * Math.log10(1 - q);
            most = Math.max(most, terms[s]);
        }
        double sum = 0;
        for (double t : terms) sum += Math.pow(10, t - most);
        return most + Math.log10(sum / steps);
    }
}
