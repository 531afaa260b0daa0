package buswitness.plan;

import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Trace;
import buswitness.plan.Criterion.Switch;
import java.util.Arrays;

/**
 * Something that is on, off or not known, instant by instant: a lamp as the driver saw it, time-outs included, or a
 * signal that is not 0. Each entry holds until the next.
 */
final class OnOff {
    static final int UNKNOWN = -1;

    double[] at = new double[64];
    int[] state = new int[64];
    int count;
    /** Frames that told it within the window. */
    final Samples samples;

    private OnOff(Samples samples) {
        this.samples = samples;
    }

    static OnOff of(StepRecording recording, Switch subject, Span span) {
        OnOff out = new OnOff(Samples.of(recording.findings(), subject.reference(), span.from(), span.until()));
        if (subject.lamp() != null) {
            for (InstrumentFinding f : recording.findings().instruments().instruments()) {
                if (f.lamp() && f.name().equals(subject.lamp().name())) out.read(f.trace());
            }
        } else {
            Samples all = Samples.of(recording.findings(), subject.reference(), 0, span.until());
            for (int i = 0; i < all.count; i++) out.add(all.at[i], subject.isOn(all.value[i]) ? 1 : 0);
        }
        out.cut(span);
        return out;
    }

    private void read(Trace trace) {
        if (trace == null) return;
        for (int i = 0; i < trace.atSeconds().length; i++) {
            float shown = trace.shown()[i];
            add(trace.atSeconds()[i], Float.isNaN(shown) ? UNKNOWN : shown > 0.5f ? 1 : 0);
        }
    }

    private void add(double when, int what) {
        if (count == at.length) {
            at = Arrays.copyOf(at, count * 2);
            state = Arrays.copyOf(state, count * 2);
        }
        at[count] = when;
        state[count++] = what;
    }

    /** What held at the window's beginning stands there as its first entry. */
    private void cut(Span span) {
        int first = 0;
        while (first < count && at[first] <= span.from()) first++;
        int before = first > 0 ? state[first - 1] : UNKNOWN;
        double[] times = new double[count + 1];
        int[] states = new int[count + 1];
        times[0] = span.from();
        states[0] = before;
        int n = 1;
        for (int i = first; i < count && at[i] <= span.until(); i++) {
            times[n] = at[i];
            states[n++] = state[i];
        }
        at = times;
        state = states;
        count = n;
    }

    /** Whether anything at all is known in the window. */
    boolean known() {
        for (int i = 0; i < count; i++) if (state[i] != UNKNOWN) return true;
        return false;
    }

    /** First known state, or unknown. */
    int first() {
        for (int i = 0; i < count; i++) if (state[i] != UNKNOWN) return state[i];
        return UNKNOWN;
    }
}
