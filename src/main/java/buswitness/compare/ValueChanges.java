package buswitness.compare;

import buswitness.Findings;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.instruments.InstrumentFinding;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.List;

/** Values of signals, and what gauges and lamps did. */
final class ValueChanges {
    /** Standard error of a value rounded to steps of one: those of an even spread over a step. */
    private static final double ROUNDING = 1 / Math.sqrt(12);

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
        double[] error = Blocks.together(a, b, signal.unit().isEmpty() ? 0 : step * ROUNDING * Math.sqrt(2));
        double d = b.mean() - a.mean();
        double chance = Chance.student(d, error[0], error[1]);
        if (error[0] == 0 && d != 0) {
            // A state that stood still in both recordings: one observation each, which shows no more than that it differs.
            out.add(change(message, signal, a, b, new double[] {d, 0, Double.NaN}, Standing.UNDECIDED,
                    "it never changed within either recording, so nothing tells how it wanders by itself"));
            return;
        }
        out.add(change(message, signal, a, b, new double[] {d, error[0], chance}, Standing.CHANGED,
                "means of stretches, neighbours alike"));
    }

    /** @param d the difference, its standard error and its chance */
    private Change change(Message m, Signal s, Blocks a, Blocks b, double[] d, Standing standing, String says) {
        double scale = isFlag(s) ? 100 : 1;
        return new Change(Kind.VALUES, s.name() + " in " + m.name(), pair.title(MessageKey.of(m)), range(a, s), range(b, s),
                d[0] * scale, d[1] * scale, isFlag(s) ? "% of frames" : s.unit(), d[2], standing, Origin.DRIVE, says);
    }

    private static boolean isFlag(Signal s) {
        return s.width() == 1 && s.unit().isEmpty() && s.factor() == 1 && s.offset() == 0;
    }

    /** The mean with its standard error; what never moved with that of rounding to the steps of the bus. */
    private static String range(Blocks b, Signal s) {
        if (b.least() == b.most()) {
            return "always " + (s.unit().isEmpty() ? Words.number(b.least()) : Words.within(b.least(),
                    Math.abs(s.factor()) * ROUNDING, s.unit()));
        }
        if (isFlag(s)) return "1 in " + Words.within(b.mean() * 100, b.error() * 100, "% of frames");
        return Words.number(b.least()) + " to " + Words.with(b.most(), s.unit()) + ", mean "
                + Words.within(b.mean(), b.error(), s.unit());
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
