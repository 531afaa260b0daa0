package buswitness.compare;

import buswitness.Findings;
import buswitness.schema.Layout;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Compares recordings, or layouts. Entry of the package; stateless. */
public final class Comparisons {
    private Comparisons() {}

    /**
     * Two recordings of one bus. Names and values come from the second one's layout, else the first one's.
     *
     * @param alike both were driven or fed alike, so that values that differ are a difference of the bus
     */
    public static Comparison recordings(Findings before, Findings after, boolean alike) {
        RecordingPair pair = new RecordingPair(before, after);
        List<Change> drafts = new ArrayList<>();
        new TrafficChanges(pair).addTo(drafts);
        new ValueChanges(pair).addTo(drafts);
        int tests = (int) drafts.stream().filter(c -> !Double.isNaN(c.chance())).count();
        List<Change> together = Origins.settle(Chance.together(drafts), alike);
        return new Comparison(before.recording().source(), after.recording().source(), false, ordered(together), tests,
                pair.notes(alike));
    }

    /** Two layouts: every difference is certain. */
    public static Comparison layouts(Layout before, Layout after) {
        return new Comparison(before.source(), after.source(), true, ordered(new LayoutChanges(before, after).all()), 0, List.of());
    }

    private static List<Change> ordered(List<Change> changes) {
        List<Change> out = new ArrayList<>(changes);
        out.sort(Comparator.comparingInt((Change c) -> c.standing().isDifference() ? c.origin().ordinal()
                : c.standing() == Change.Standing.UNDECIDED ? 3 : 4).thenComparing(c -> c.kind().ordinal()));
        return out;
    }
}
