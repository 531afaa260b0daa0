package buswitness.plan;

import buswitness.plan.Criterion.LineFollows;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Judges lines beside the bus against one another. */
final class LineJudge {
    /** A contact that bounces settles within this (common practice, no source). */
    private static final double BOUNCE_SECONDS = 5e-3;

    private final StepRecording recording;
    private final Span span;
    private final double tick;

    LineJudge(StepRecording recording, Span span) {
        this.recording = recording;
        this.span = span;
        tick = recording.info().tickPicos() * 1e-12;
    }

    List<Judgement> follows(LineFollows c) {
        LineTrace line = recording.lines().get(c.line());
        LineTrace other = recording.lines().get(c.other());
        List<Judgement> out = new ArrayList<>();
        boolean gap = line.hasGap(span.from(), span.until()) || other.hasGap(span.from(), span.until());
        if (!Double.isNaN(c.lowDelay())) out.add(delay(c, line, other, gap));
        if (!Double.isNaN(c.ratio())) out.add(ratio(c, line, other, gap));
        return out;
    }

    private Judgement delay(LineFollows c, LineTrace line, LineTrace other, boolean gap) {
        String expected = "changes " + Limits.seconds(c.lowDelay()) + " to " + Limits.seconds(c.highDelay()) + " after "
                + c.other() + (c.inverted() ? ", the other way" : "");
        double u = tick * Math.sqrt(2.0 / 12);
        Outcome outcome = Outcome.PASS;
        double least = Double.POSITIVE_INFINITY;
        double most = Double.NEGATIVE_INFINITY;
        double sum = 0;
        double squares = 0;
        int n = 0;
        double place = Double.NaN;
        double missed = Double.NaN;
        int unasked = 0;
        double firstUnasked = Double.NaN;
        double lastUnasked = Double.NaN;
        double firstCause = Double.NaN;
        for (int to = 0; to <= 1; to++) {
            double[] causes = debounced(other.changes(to, span.from(), span.until()), other.changes(1 - to, span.from(),
                    span.until()));
            int want = c.inverted() ? 1 - to : to;
            double[] effects = debounced(line.changes(want, span.from(), span.until()), line.changes(1 - want, span.from(),
                    span.until()));
            if (causes.length > 0 && !(causes[0] >= firstCause)) firstCause = causes[0];
            boolean[] asked = new boolean[effects.length];
            for (int i = 0; i < causes.length; i++) {
                double until = i + 1 < causes.length ? causes[i + 1] : span.until();
                int k = Arrays.binarySearch(effects, causes[i]);
                k = k < 0 ? -k - 1 : k;
                if (k == effects.length || effects[k] > until) {
                    // Too near the end of the window to have been answered: it tells nothing.
                    if (until - causes[i] > c.highDelay() && Double.isNaN(missed)) missed = causes[i];
                    continue;
                }
                asked[k] = true;
                double d = effects[k] - causes[i];
                Outcome one = Limits.judge(d, Math.hypot(u, d * LineTrace.RECORDER_CLOCK), c.lowDelay(), c.highDelay());
                if (one != Outcome.PASS && Double.isNaN(place)) place = causes[i];
                outcome = outcome.and(one);
                least = Math.min(least, d);
                most = Math.max(most, d);
                sum += d;
                squares += d * d;
                n++;
            }
            for (int k = 0; k < effects.length; k++) {
                // What comes at the window's beginning may answer what happened before it.
                if (asked[k] || effects[k] - span.from() <= c.highDelay() + BOUNCE_SECONDS) continue;
                unasked++;
                if (!(effects[k] >= firstUnasked)) firstUnasked = effects[k];
                if (!(effects[k] <= lastUnasked)) lastUnasked = effects[k];
            }
        }
        if (!Double.isNaN(missed)) {
            return new Judgement(c.line(), expected, Double.NaN, Double.NaN, "s", gap ? Outcome.UNDECIDED : Outcome.FAIL,
                    missed, span.until(), "at " + Limits.number(Samples.round(missed)) + "\u00A0s " + c.other()
                    + " changed and " + c.line() + " did not follow");
        }
        if (n == 0) {
            return new Judgement(c.line(), expected, Double.NaN, Double.NaN, "s", Outcome.UNDECIDED, span.from(),
                    span.until(), c.other() + " did not change in this time: work it while recording");
        }
        double mean = sum / n;
        // Standard error of the mean of n delays, the tick and the recorder's clock (GUM, JCGM 100:2008, 4.2.3 and 5.1.2).
        double scatter = n < 2 ? 0 : Math.sqrt(Math.max(0, squares - n * mean * mean) / (n - 1) / n);
        u = Math.hypot(Math.hypot(u, scatter), mean * LineTrace.RECORDER_CLOCK);
        String says = n == 1 ? "it changed " + Limits.text(mean, u, "s") + " after " + c.other() : "in " + n
                + " changes it came " + range(least, most) + " after " + c.other();
        if (unasked > 0) {
            // Before the first cause a line may settle, as a pump does that primes with the key.
            boolean before = lastUnasked < firstCause;
            outcome = outcome.and(before ? Outcome.UNDECIDED : Outcome.FAIL);
            if (!(place <= firstUnasked)) place = firstUnasked;
            says += "; but " + unasked + (unasked == 1 ? " change" : " changes") + " of it no change of " + c.other()
                    + " explains, first at " + Limits.number(Samples.round(firstUnasked)) + "\u00A0s"
                    + (before ? ": begin the window behind them if they belong to something else" : "");
        }
        if (gap) outcome = outcome.and(Outcome.UNDECIDED);
        boolean bad = outcome != Outcome.PASS && !Double.isNaN(place);
        return new Judgement(c.line(), expected, mean, u, "s", outcome, bad ? place : span.from(), span.until(),
                gap ? says + "; but part of this time was not recorded" : says);
    }

    /** {@code 3.04 to 3.05 s}; one figure where both read alike. */
    private static String range(double least, double most) {
        String low = Limits.seconds(Samples.round(least));
        String high = Limits.seconds(Samples.round(most));
        return low.equals(high) ? low + " each time" : low + " to " + high;
    }

    /** First change of each burst: what comes back within the bounce is the same movement of the contact. */
    private static double[] debounced(double[] changes, double[] back) {
        double[] out = new double[changes.length];
        int n = 0;
        for (double t : changes) {
            // Bouncing at the end of the opposite movement: it stood the other way only just before.
            int k = Arrays.binarySearch(back, t);
            k = k < 0 ? -k - 2 : k;
            boolean bouncing = k >= 0 && t - back[k] < BOUNCE_SECONDS;
            if (!bouncing) out[n++] = t;
        }
        return Arrays.copyOf(out, n);
    }

    private Judgement ratio(LineFollows c, LineTrace line, LineTrace other, boolean gap) {
        String expected = Limits.number(c.ratio()) + " pulses for one of " + c.other() + " within "
                + Limits.number(c.tolerance() * 100) + "\u00A0%";
        double[] a = line.frequency(span.from(), span.until(), tick);
        double[] b = other.frequency(span.from(), span.until(), tick);
        if (Double.isNaN(b[0]) || b[2] < 3) {
            return new Judgement(c.line(), expected, Double.NaN, Double.NaN, "", Outcome.UNDECIDED, span.from(),
                    span.until(), c.other() + " carries too few pulses in this time: feed it while recording");
        }
        if (Double.isNaN(a[0])) {
            boolean due = !gap && (b[2] - 1) * c.ratio() > 3;
            return new Judgement(c.line(), expected, 0, 0, "", due ? Outcome.FAIL : Outcome.UNDECIDED, span.from(),
                    span.until(), "it carries " + (int) a[2] + " pulses while " + c.other() + " carries " + (int) b[2]);
        }
        double ratio = a[0] / b[0];
        double u = ratio * Math.hypot(a[1] / a[0], b[1] / b[0]);
        Outcome outcome = Limits.judge(ratio, u, c.ratio() * (1 - c.tolerance()), c.ratio() * (1 + c.tolerance()));
        if (gap) outcome = outcome.and(Outcome.UNDECIDED);
        return new Judgement(c.line(), expected, ratio, u, "", outcome, span.from(), span.until(), Limits.text(a[0], a[1], "Hz")
                + " against " + Limits.text(b[0], b[1], "Hz") + (gap ? "; but part of this time was not recorded" : ""));
    }
}
