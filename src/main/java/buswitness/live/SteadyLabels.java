package buswitness.live;

import buswitness.clashes.Sender;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Keeps a sender's label from one judgement to the next. A judgement labels senders anew, in the order in which they are
 * heard; here each gets the label of the earlier sender whose messages and clock it shares most.
 */
final class SteadyLabels {
    private static final int MOST_KNOWN = 200;
    private static final double CLOCK_FLOOR_PPM = 3;
    private static final double LEAST_LIKENESS = 0.3;

    private record Known(String label, Set<Long> keys, double ppm, double ppmError) {}

    private final List<Known> known = new ArrayList<>();
    private int next;

    /** One label for each sender, in their order. */
    List<String> labels(List<Sender> senders) {
        String[] labels = new String[senders.size()];
        boolean[] taken = new boolean[known.size()];
        for (int round = 0; round < senders.size(); round++) {
            double best = LEAST_LIKENESS;
            int bestSender = -1;
            int bestKnown = -1;
            for (int s = 0; s < senders.size(); s++) {
                if (labels[s] != null) continue;
                for (int k = 0; k < taken.length; k++) {
                    double like = taken[k] ? 0 : likeness(senders.get(s), known.get(k));
                    if (like > best) {
                        best = like;
                        bestSender = s;
                        bestKnown = k;
                    }
                }
            }
            if (bestSender < 0) break;
            labels[bestSender] = known.get(bestKnown).label();
            taken[bestKnown] = true;
        }
        for (int s = 0; s < labels.length; s++) {
            if (labels[s] == null) labels[s] = label(next++);
            remember(labels[s], senders.get(s));
        }
        return List.of(labels);
    }

    private void remember(String label, Sender s) {
        known.removeIf(k -> k.label().equals(label));
        known.add(new Known(label, new HashSet<>(s.keys()), s.clockPpm(), s.clockPpmError()));
        if (known.size() > MOST_KNOWN) known.remove(0);
    }

    private static double likeness(Sender s, Known k) {
        Set<Long> both = new HashSet<>(s.keys());
        both.retainAll(k.keys());
        Set<Long> either = new HashSet<>(s.keys());
        either.addAll(k.keys());
        double shared = either.isEmpty() ? 0 : (double) both.size() / either.size();
        double error = Math.hypot(Math.hypot(s.clockPpmError(), k.ppmError()), CLOCK_FLOOR_PPM);
        double off = Math.abs(s.clockPpm() - k.ppm()) / error;
        return shared == 0 ? 0 : shared + (off < 3 ? 0.5 * (1 - off / 3) : 0);
    }

    /** A to Z, then AA, AB ... */
    private static String label(int index) {
        String text = String.valueOf((char) ('A' + index % 26));
        return index < 26 ? text : label(index / 26 - 1) + text;
    }
}
