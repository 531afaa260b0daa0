package buswitness.compare;

import buswitness.stats.Normal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.hipparchus.distribution.continuous.TDistribution;
import org.hipparchus.distribution.discrete.BinomialDistribution;

/** How likely chance alone shows as much. Two-sided throughout. */
final class Chance {
    private Chance() {}

    /** A difference with a known standard error. */
    static double normal(double difference, double error) {
        if (!(error > 0)) return difference == 0 ? 1 : 0;
        return 2 * Normal.between(Math.abs(difference) / error, Double.POSITIVE_INFINITY);
    }

    /** A difference with a standard error estimated with so many degrees of freedom (Student, Biometrika 6, 1908). */
    static double student(double difference, double error, double freedom) {
        if (!(error > 0)) return difference == 0 ? 1 : 0;
        return Math.min(1, 2 * new TDistribution(Math.max(1, freedom)).cumulativeProbability(-Math.abs(difference) / error));
    }

    /**
     * Two counts over two times: given their sum, the first is binomial (J. Przyborowski and H. Wilenski, Biometrika 31,
     * 1940).
     */
    static double counts(int first, double firstSeconds, int second, double secondSeconds) {
        int all = first + second;
        if (all == 0) return 1;
        BinomialDistribution b = new BinomialDistribution(all, firstSeconds / (firstSeconds + secondSeconds));
        double low = b.cumulativeProbability(first);
        double high = 1 - b.cumulativeProbability(first - 1);
        return Math.min(1, 2 * Math.min(low, high));
    }

    /** All {@code hits} marked blocks lie among the {@code own} of {@code own + other} (R. A. Fisher's exact test). */
    static double allOnOneSide(int hits, int own, int other) {
        double log = 0;
        for (int i = 0; i < hits; i++) log += Math.log((double) (own - i) / (own + other - i));
        return Math.min(1, 2 * Math.exp(log));
    }

    /**
     * Makes every chance one of all comparisons together (S. Holm, Scandinavian Journal of Statistics 6, 1979) and says what
     * it means.
     */
    static List<Change> together(List<Change> drafts) {
        List<Integer> order = new ArrayList<>();
        for (int i = 0; i < drafts.size(); i++) if (!Double.isNaN(drafts.get(i).chance())) order.add(i);
        order.sort(Comparator.comparingDouble(i -> drafts.get(i).chance()));
        List<Change> out = new ArrayList<>(drafts);
        double worst = 0;
        for (int k = 0; k < order.size(); k++) {
            Change c = drafts.get(order.get(k));
            worst = Math.max(worst, Math.min(1, (order.size() - k) * c.chance()));
            Change.Standing now = worst < Comparison.RISK ? c.standing()
                    : worst < Comparison.PERHAPS ? Change.Standing.UNDECIDED : Change.Standing.SAME;
            out.set(order.get(k), c.with(worst, now));
        }
        return out;
    }
}
