package buswitness.compare;

import buswitness.Findings;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Standing;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.instruments.InstrumentFinding;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.List;

/** Values of signals, and what gauges and lamps did. */
final class ValueChanges {
    private final RecordingPair pair;

    ValueChanges(RecordingPair pair) {
        this.pair = pair;
    }

    void addTo(List<Change> out) {
        if (pair.layout == null) return;
        for (Message m : pair.layout.messages()) {
            for (Signal s : m.carries()) value(m, s, out);
        }
        InstrumentChanges.drafts(pair, out);
    }

    private void value(Message message, Signal signal, List<Change> out) {
        Blocks a = series(pair.before, message, signal);
        Blocks b = series(pair.after, message, signal);
        if (a == null || b == null) return;
        double step = Math.abs(signal.factor());
        double[] error = Blocks.together(a, b, signal.unit().isEmpty() ? 0 : step / Math.sqrt(6));
        double d = b.mean() - a.mean();
        double chance = Chance.student(d, error[0], error[1]);
        if (error[0] == 0 && d != 0) {
            // A state that stood still in both recordings: one observation each, which shows no more than that it differs.
            out.add(change(message, signal, a, b, d, 0, Double.NaN, Standing.UNDECIDED,
                    "it never changed within either recording, so nothing tells how it wanders by itself"));
            return;
        }
        out.add(change(message, signal, a, b, d, error[0], chance, Standing.CHANGED, "means of stretches, neighbours alike"));
    }

    private static Change change(Message m, Signal s, Blocks a, Blocks b, double d, double error, double chance,
                                 Standing standing, String says) {
        return new Change(Kind.VALUES, s.name() + " in " + m.name(), range(a, s), range(b, s), d, error, s.unit(), chance,
                standing, says);
    }

    private static String range(Blocks b, Signal s) {
        return b.least() == b.most() ? "always " + Words.with(b.least(), s.unit()) : Words.number(b.least()) + " to "
                + Words.with(b.most(), s.unit()) + ", mean " + Words.number(b.mean());
    }

    private static Blocks series(Findings f, Message message, Signal signal) {
        FrameLog log = f.frames();
        long key = MessageKey.of(message);
        double[] values = new double[log.size()];
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != key || !log.isWhole(i) || log.isRemote(i)) continue;
            double v = signal.read(log.data(i), log.dataLength(i));
            if (!Double.isNaN(v)) values[n++] = v;
        }
        return n < 12 ? null : Blocks.of(values, n);
    }

    /** The finding of this instrument, or null. */
    static InstrumentFinding of(Findings f, String name) {
        for (InstrumentFinding i : f.instruments().instruments()) if (i.name().equals(name)) return i;
        return null;
    }
}
