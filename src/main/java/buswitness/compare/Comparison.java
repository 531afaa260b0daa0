package buswitness.compare;

import java.util.List;

/**
 * Two recordings or two layouts side by side.
 *
 * @param layouts whether layouts were compared, where every difference is certain
 * @param changes everything compared, differences first, then what is undecided
 * @param tests   how many of them were tested against chance, together
 * @param notes   what to know about both, sentences
 */
public record Comparison(String before, String after, boolean layouts, List<Change> changes, int tests,
                         List<String> notes) {
    /** Chance that even one difference is called where there is none. */
    public static final double RISK = 0.01;
    /** Up to here a difference stays undecided. */
    public static final double PERHAPS = 0.05;

    public Comparison {
        changes = List.copyOf(changes);
        notes = List.copyOf(notes);
    }

    /** Whether anything differs that another drive does not make as well. */
    public boolean differs() {
        return changes.stream().anyMatch(c -> c.standing().isDifference() && c.origin() != Change.Origin.DRIVE);
    }

    /** Whether something may differ, or differs where these recordings cannot tell whether bus or drive made it. */
    public boolean undecided() {
        return changes.stream().anyMatch(c -> c.standing() == Change.Standing.UNDECIDED
                || c.standing().isDifference() && c.origin() == Change.Origin.DRIVE);
    }
}
