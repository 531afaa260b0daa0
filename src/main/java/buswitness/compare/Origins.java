package buswitness.compare;

import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** What may have made each difference: the bus itself, another difference of the bus, or no more than another drive. */
final class Origins {
    private Origins() {}

    /**
     * @param changes after they were tested together
     * @param alike   both recordings are of the same drive, so that values and events count as differences of the bus
     */
    static List<Change> settle(List<Change> changes, boolean alike) {
        Map<String, String> touched = touched(changes);
        List<Change> out = new ArrayList<>();
        for (Change c : changes) out.add(settle(c, touched, alike));
        return out;
    }

    /** Messages that came, went, or have other senders or another period, with what of them. */
    private static Map<String, String> touched(List<Change> changes) {
        Map<String, String> touched = new LinkedHashMap<>();
        for (Change c : changes) {
            if (!c.isOfTheBus() || c.message().isEmpty()) continue;
            String what = switch (c.kind()) {
                case SENDERS -> "the senders of ";
                case MESSAGES -> c.standing() == Standing.CAME ? "the new " : "the lost ";
                case PERIODS -> "the period of ";
                default -> "";
            };
            if (!what.isEmpty()) touched.putIfAbsent(c.message(), what + c.message());
        }
        return touched;
    }

    private static Change settle(Change c, Map<String, String> touched, boolean alike) {
        String root = c.kind() == Kind.LOAD ? touched.values().stream().findFirst().orElse(null) : touched.get(c.message());
        boolean bySymptom = c.kind() == Kind.INSTRUMENTS && c.standing() == Standing.UNDECIDED && Double.isNaN(c.chance());
        boolean follower = c.kind() == Kind.VALUES || c.kind() == Kind.INSTRUMENTS || c.kind() == Kind.LOAD
                || c.origin() == Origin.DRIVE;
        if (follower && root != null && (c.standing().isDifference() || bySymptom)) {
            return c.with(Standing.CHANGED, Origin.FOLLOWS, "comes with " + root);
        }
        if (c.kind() == Kind.INSTRUMENTS && c.standing() == Standing.SAME && !symptom(c.before()).equals(symptom(c.after()))) {
            return c.with(Standing.UNDECIDED, c.origin(), "it misbehaves in one recording only, and too seldom to exclude chance:"
                    + " record longer");
        }
        return c.origin() == Origin.DRIVE && alike ? c.with(c.standing(), Origin.BUS, "") : c;
    }

    /** What an instrument did, its cause left out. */
    private static String symptom(String words) {
        int cause = words.indexOf(" (");
        return cause < 0 ? words : words.substring(0, cause);
    }
}
