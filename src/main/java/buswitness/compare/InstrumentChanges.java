package buswitness.compare;

import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Standing;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** What gauges and lamps did: sudden turns are counted and tested, other symptoms follow their message. */
final class InstrumentChanges {
    private InstrumentChanges() {}

    static void drafts(RecordingPair pair, List<Change> out) {
        for (InstrumentFinding a : pair.before.instruments().instruments()) {
            InstrumentFinding b = ValueChanges.of(pair.after, a.name());
            if (b == null) continue;
            if (!a.flapping() && !b.flapping()) {
                boolean same = a.symptom() == b.symptom() && words(a).equals(words(b));
                out.add(new Change(Kind.INSTRUMENTS, a.name(), words(a), words(b), Double.NaN, Double.NaN, "", Double.NaN,
                        same ? Standing.SAME : Standing.UNDECIDED, same ? "" : b.says()));
                continue;
            }
            double t1 = RecordingPair.seconds(pair.before);
            double t2 = RecordingPair.seconds(pair.after);
            double d = b.reversals() * 60 / t2 - a.reversals() * 60 / t1;
            double error = Math.hypot(60 * Math.sqrt(Math.max(1, a.reversals())) / t1,
                    60 * Math.sqrt(Math.max(1, b.reversals())) / t2);
            out.add(new Change(Kind.INSTRUMENTS, a.name(), words(a), words(b), d, error, "sudden turns a minute",
                    Chance.counts(a.reversals(), t1, b.reversals(), t2), Standing.CHANGED, "counts, exact test"));
        }
    }

    /** A symptom that cannot be counted is a difference where its message itself came, went or changed. */
    static List<Change> settle(List<Change> changes, RecordingPair pair) {
        Set<String> touched = new HashSet<>();
        for (Change c : changes) {
            boolean message = c.kind() == Kind.MESSAGES || c.kind() == Kind.PERIODS || c.kind() == Kind.SENDERS;
            if (message && c.standing().isDifference()) touched.add(c.subject());
        }
        List<Change> out = new ArrayList<>();
        for (Change c : changes) {
            boolean open = c.kind() == Kind.INSTRUMENTS && c.standing() == Standing.UNDECIDED && Double.isNaN(c.chance());
            InstrumentFinding i = open ? ValueChanges.of(pair.after, c.subject()) : null;
            out.add(i != null && touched.contains(pair.title(i.key())) ? c.with(Double.NaN, Standing.CHANGED) : c);
        }
        return out;
    }

    private static String words(InstrumentFinding i) {
        String cause = i.cause().text();
        return switch (i.symptom()) {
            case NONE -> i.cause() == Cause.TWO_SENDERS ? "still although two senders disagree" : "calm";
            default -> i.symptom().text() + (cause.equals("none") ? "" : ", " + cause);
        };
    }
}
