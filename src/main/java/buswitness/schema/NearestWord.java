package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.Collection;
import java.util.Locale;

/** The known word that a misspelt one most likely means. */
final class NearestWord {
    /** A longer list helps nobody on one line. */
    private static final int MOST_LISTED = 24;

    private NearestWord() {}

    static InputFault unknown(Place place, String kind, String word, Collection<String> known) {
        String nearest = to(word, known);
        StringBuilder toDo = new StringBuilder();
        if (nearest != null) toDo.append("did you mean '").append(nearest).append("'? ");
        if (known.isEmpty()) {
            toDo.append("none is known here");
        } else {
            toDo.append("known here: ");
            toDo.append(String.join(", ", known.stream().limit(MOST_LISTED).toList()));
            if (known.size() > MOST_LISTED) toDo.append(" and ").append(known.size() - MOST_LISTED).append(" more");
        }
        return new InputFault(place, "unknown " + kind + " '" + word + "'", toDo.toString());
    }

    /** The nearest of {@code known}, or null where none is near: at most a third of the letters wrong, 1 at least. */
    static String to(String word, Collection<String> known) {
        String best = null;
        int bestDistance = Integer.MAX_VALUE;
        String small = word.toLowerCase(Locale.ROOT);
        for (String candidate : known) {
            int allowed = Math.max(1, Math.max(word.length(), candidate.length()) / 3);
            if (Math.abs(word.length() - candidate.length()) > allowed) continue;
            int distance = distance(small, candidate.toLowerCase(Locale.ROOT));
            if (distance <= allowed && distance < bestDistance) {
                bestDistance = distance;
                best = candidate;
            }
        }
        return best;
    }

    /**
     * Letters put in, left out, changed, or two neighbours swapped (restricted Damerau-Levenshtein distance; F. J.
     * Damerau, Communications of the ACM 7(3), 1964; V. I. Levenshtein, Soviet Physics Doklady 10(8), 1966).
     */
    static int distance(String a, String b) {
        int[] before = new int[b.length() + 1];
        int[] above = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) above[j] = j;
        for (int i = 1; i <= a.length(); i++) {
            int[] row = new int[b.length() + 1];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int change = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
                row[j] = Math.min(Math.min(row[j - 1], above[j]) + 1, above[j - 1] + change);
                if (i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1)) {
                    row[j] = Math.min(row[j], before[j - 2] + 1);
                }
            }
            before = above;
            above = row;
        }
        return above[b.length()];
    }
}
