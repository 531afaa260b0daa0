package buswitness.senders;

/**
 * How well a frame's payload continues that of a label: bits that differ from the label's nearest sure frame before or
 * after, each weighed by how seldom that bit flips from frame to frame within the label (per-bit flip rates as in
 * M. Marchetti and D. Stabili, IEEE TIFS 14(4), 2019). Bits of one value flip together, hence the discount; and no
 * payload alone is allowed to settle a frame against any timing, hence the ceiling.
 */
final class PayloadTerm implements Attribution.EmissionTerms {
    private static final double DISCOUNT = 0.5;
    private static final double CEILING = 12;
    private static final double UNKNOWN = 2;
    private static final double LENGTH_COST = 8;
    static final float SURE = 0.9f;
    private static final int FEWEST = 4;

    private final MessageFrames frames;
    private final int[][] before;
    private final int[][] after;
    private final double[][] differs;
    private final double[] agrees;
    private final double[][] same;
    private final boolean[] lengthSteady;

    PayloadTerm(MessageFrames frames, int labels, byte[] label, float[] confidence) {
        this.frames = frames;
        before = new int[labels][];
        after = new int[labels][];
        differs = new double[labels][64];
        same = new double[labels][64];
        agrees = new double[labels];
        lengthSteady = new boolean[labels];
        for (int c = 0; c < labels; c++) learn(c, label, confidence);
    }

    private void learn(int c, byte[] label, float[] confidence) {
        int n = frames.count;
        int[] flips = new int[64];
        int pairs = 0;
        int lengths = 0;
        int last = -1;
        int[] earlier = new int[n];
        for (int i = 0; i < n; i++) {
            earlier[i] = last;
            if (label[i] != c || confidence[i] < SURE) continue;
            if (last >= 0) {
                pairs++;
                if (frames.length[i] != frames.length[last]) lengths++;
                for (long x = frames.word[i] ^ frames.word[last]; x != 0; x &= x - 1) {
                    flips[Long.numberOfTrailingZeros(x)]++;
                }
            }
            last = i;
        }
        if (pairs < FEWEST) return;
        int[] later = new int[n];
        last = -1;
        for (int i = n - 1; i >= 0; i--) {
            later[i] = last;
            if (label[i] == c && confidence[i] >= SURE) last = i;
        }
        before[c] = earlier;
        after[c] = later;
        lengthSteady[c] = lengths * 20 < pairs;
        for (int b = 0; b < 64; b++) {
            double p = (flips[b] + 0.5) / (pairs + 1);
            differs[c][b] = -Math.log(p);
            same[c][b] = -Math.log(1 - p);
            agrees[c] += same[c][b];
        }
    }

    @Override
    public double cost(int i, int c) {
        if (before[c] == null) return UNKNOWN;
        int a = before[c][i];
        int b = after[c][i];
        double cost = Double.POSITIVE_INFINITY;
        if (a >= 0) cost = against(i, a, c);
        if (b >= 0) cost = Math.min(cost, against(i, b, c));
        return cost == Double.POSITIVE_INFINITY ? UNKNOWN : cost;
    }

    private double against(int i, int reference, int c) {
        double cost = agrees[c];
        for (long x = frames.word[i] ^ frames.word[reference]; x != 0; x &= x - 1) {
            int b = Long.numberOfTrailingZeros(x);
            cost += differs[c][b] - same[c][b];
        }
        cost *= DISCOUNT;
        if (lengthSteady[c] && frames.length[i] != frames.length[reference]) cost += LENGTH_COST;
        return Math.min(CEILING, cost);
    }

    /** Bits of the message that flip in at most this share of a label's consecutive frames. */
    static long slowBits(MessageFrames frames, byte[] label, int c, double share) {
        int[] flips = new int[64];
        int pairs = 0;
        int last = -1;
        for (int i = 0; i < frames.count; i++) {
            if (label[i] != c) continue;
            if (last >= 0) {
                pairs++;
                for (long x = frames.word[i] ^ frames.word[last]; x != 0; x &= x - 1) {
                    flips[Long.numberOfTrailingZeros(x)]++;
                }
            }
            last = i;
        }
        long mask = 0;
        for (int b = 0; b < 64; b++) if (flips[b] <= share * pairs) mask |= 1L << b;
        return mask;
    }
}
