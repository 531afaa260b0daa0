package buswitness.clashes;

import buswitness.senders.WireMean;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.Function;

/**
 * By how much the means of one node's messages differ on the wire although one transmitter made them: other payloads,
 * other edges. Learnt from the messages with one train of each clock group. A group may hold a second node whose clock
 * agrees by chance; then one of the gaps between its messages, in order of their means, is wide and the median gap is
 * not.
 */
final class WireFloor {
    /**
     * Mean range of n normal deviates in their standard deviation, n from 2 (L. H. C. Tippett, Biometrika 17, 1925).
     */
    private static final double[] RANGE = {1.128, 1.693, 2.059, 2.326, 2.534, 2.704, 2.847, 2.970, 3.078};
    private static final int FEWEST_GAPS = 4;
    /** A floor is not known better than to this share of what the gaps' own errors are. */
    private static final double SHARE_OF_ERROR = 0.3;
    /** Means whose rounding may stand still this many errors wide say nothing about a floor. */
    private static final double SHARP = 2;
    private static final double ERRORS = 4;

    private final List<Double> spreads = new ArrayList<>();
    private final List<Double> errors = new ArrayList<>();

    /** Parts of a clock group that are alike in one trait: the gaps between them are wider than errors make them. */
    static <T> List<List<T>> alike(List<T> group, Function<T, WireMean> trait, double near) {
        List<T> sorted = group.stream().sorted(Comparator.comparingDouble(t -> trait.apply(t).value())).toList();
        List<List<T>> parts = new ArrayList<>();
        for (T next : sorted) {
            List<T> last = parts.isEmpty() ? null : parts.get(parts.size() - 1);
            WireMean here = trait.apply(next);
            WireMean before = last == null ? null : trait.apply(last.get(last.size() - 1));
            boolean joins = before != null && here.value() - before.value()
                    <= near + ERRORS * Math.hypot(here.error(), before.error())
                    + Math.max(here.bound(), before.bound());
            if (!joins) parts.add(last = new ArrayList<>());
            last.add(next);
        }
        return parts;
    }

    /** Means of messages of one node, one of each. */
    void group(List<WireMean> means) {
        List<WireMean> sorted = means.stream().filter(m -> m.bound() <= SHARP * m.error())
                .sorted(Comparator.comparingDouble(WireMean::value)).toList();
        int gaps = sorted.size() - 1;
        if (gaps < 1) return;
        List<Double> between = new ArrayList<>();
        for (int i = 0; i < gaps; i++) {
            between.add(sorted.get(i + 1).value() - sorted.get(i).value());
            errors.add(Math.hypot(sorted.get(i).error(), sorted.get(i + 1).error()));
        }
        double evenly = RANGE[Math.min(gaps, RANGE.length) - 1] / gaps;
        for (int i = 0; i < gaps; i++) spreads.add(middle(between) / evenly);
    }

    /**
     * The spread of one node's means.
     *
     * @param unknown taken where too few messages tell it
     * @param least   never less, whatever they tell
     */
    double of(double unknown, double least) {
        if (errors.isEmpty()) return unknown;
        double error = middle(errors) / Math.sqrt(2);
        double spread = middle(spreads);
        double beyond = Math.sqrt(Math.max(0, spread * spread - error * error));
        double known = Math.max(Math.max(least, SHARE_OF_ERROR * error), beyond);
        return errors.size() < FEWEST_GAPS ? Math.max(unknown, known) : known;
    }

    private static double middle(List<Double> values) {
        List<Double> sorted = values.stream().sorted().toList();
        return (sorted.get((sorted.size() - 1) / 2) + sorted.get(sorted.size() / 2)) / 2;
    }
}
