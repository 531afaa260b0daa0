package buswitness.senders;

import buswitness.stats.Robust;

/** How the gaps of one comb scatter: a timer's fixed grid (lag-1 correlation -0.5) or a delay loop's walk (0). */
final class GapShape {
    private static final int FEWEST = 30;

    /** Lag-1 correlation, wild gaps left out; NaN where too few. */
    final double correlation;
    /** Variance the phase gains with each tooth; 0 where the gaps look like a timer's. */
    final double walk;

    GapShape(MessageFrames frames, Comb comb) {
        double[] gap = new double[comb.size];
        boolean[] follows = new boolean[comb.size];
        int n = 0;
        boolean before = false;
        for (int i = 0; i + 1 < comb.size; i++) {
            boolean good = comb.sharp[i] && comb.sharp[i + 1] && comb.tooth[i + 1] == comb.tooth[i] + 1;
            if (good) {
                follows[n] = before;
                gap[n++] = frames.at[comb.member[i + 1]] - frames.at[comb.member[i]];
            }
            before = good;
        }
        double centre = Robust.median(gap, n);
        double spread = Robust.spread(gap, n, centre);
        double square = 0;
        double product = 0;
        int squares = 0;
        int products = 0;
        for (int i = 0; i < n; i++) {
            double a = gap[i] - centre;
            if (Math.abs(a) > 4 * spread) continue;
            square += a * a;
            squares++;
            if (!follows[i] || Math.abs(gap[i - 1] - centre) > 4 * spread) continue;
            product += a * (gap[i - 1] - centre);
            products++;
        }
        if (products < FEWEST || !(square > 0)) {
            correlation = Double.NaN;
            walk = 0;
            return;
        }
        double variance = square / squares;
        correlation = product / products / variance;
        // Under a fixed grid the correlation is -0.5 with a standard error below 1 / sqrt(n).
        boolean walks = correlation > -0.5 + 4 / Math.sqrt(products) && correlation > -0.35;
        walk = walks ? variance * Math.min(1, 1 + 2 * correlation) : 0;
    }
}
