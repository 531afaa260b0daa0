package buswitness.compare;

import buswitness.Findings;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import java.util.List;
import java.util.stream.IntStream;

/** What gauges and lamps did: sudden turns are counted and tested, other symptoms follow their message. */
final class InstrumentChanges {
    private InstrumentChanges() {}

    static void drafts(RecordingPair pair, List<Change> out) {
        for (InstrumentFinding a : pair.before.instruments().instruments()) {
            InstrumentFinding b = ValueChanges.of(pair.after, a.name());
            if (b == null) continue;
            if (!a.flapping() && !b.flapping()) {
                boolean same = words(a).equals(words(b));
                out.add(Change.told(Kind.INSTRUMENTS, a.name(), pair.title(b.key()), words(a), words(b),
                        same ? Standing.SAME : Standing.UNDECIDED, same ? "" : b.says()));
                continue;
            }
            out.add(Rates.compared(Kind.INSTRUMENTS, a.name(), pair.title(b.key()), counted(a, pair.before),
                    counted(b, pair.after), "sudden turns a minute", Origin.BUS, words(a), words(b)));
        }
    }

    /** The sudden turns; when they were, as near as what the instrument was told shows. */
    private static Rates.Counted counted(InstrumentFinding i, Findings of) {
        double[] at = i.trace().atSeconds();
        float[] v = i.lamp() ? i.trace().shown() : i.trace().told();
        double sudden = i.lamp() ? 0.5 : i.swing() / 2;
        double[] turns = IntStream.range(1, at.length).filter(k -> i.reversals() > 0 && Math.abs(v[k] - v[k - 1]) >= sudden)
                .mapToDouble(k -> at[k]).toArray();
        return new Rates.Counted(i.reversals(), turns, of);
    }

    private static String words(InstrumentFinding i) {
        String what = switch (i.symptom()) {
            case NONE -> i.cause() == Cause.TWO_SENDERS ? "still although two senders disagree" : "calm";
            case FLAPPING -> i.lamp() ? "flickers" : "swings to and fro";
            case HELD -> "is held still";
            case DROPPED_OUT -> "drops out";
            case STEADILY_WRONG -> "stands steadily wrong";
            case NEVER_LIT -> "never lights";
        };
        return i.symptom() == Symptom.NONE || i.cause() == Cause.NONE ? what : what + " (" + i.cause().text() + ")";
    }
}
