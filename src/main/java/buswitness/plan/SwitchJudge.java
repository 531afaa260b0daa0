package buswitness.plan;

import buswitness.plan.Criterion.Blinks;
import buswitness.plan.Criterion.Is;
import buswitness.plan.Criterion.Switch;
import buswitness.plan.Criterion.Turns;
import java.util.Arrays;

/** Judges what is on or off: lit throughout, blinking, coming on or going out in time. */
final class SwitchJudge {
    /** A period may scatter by this share before it is no blinking; what samples add is allowed beside it. */
    private static final double IRREGULAR = 0.25;

    private final StepRecording recording;
    private final Span span;

    SwitchJudge(StepRecording recording, Span span) {
        this.recording = recording;
        this.span = span;
    }

    Judgement is(Is c) {
        OnOff s = OnOff.of(recording, c.subject(), span);
        String name = c.subject().name();
        String expected = word(c.subject(), c.on()) + " throughout";
        if (!s.known()) return absent(c.subject(), expected, s);
        double wrong = 0;
        double known = 0;
        double firstWrong = Double.NaN;
        for (int i = 0; i < s.count; i++) {
            double end = i + 1 < s.count ? s.at[i + 1] : span.until();
            if (s.state[i] == OnOff.UNKNOWN) continue;
            known += end - s.at[i];
            if (s.state[i] == (c.on() ? 1 : 0)) continue;
            wrong += end - s.at[i];
            if (Double.isNaN(firstWrong)) firstWrong = s.at[i];
        }
        double share = known > 0 ? (known - wrong) / known : Double.NaN;
        if (!Double.isNaN(firstWrong)) {
            return new Judgement(name, expected, share * 100, 0, "% of the time", Outcome.FAIL, firstWrong, span.until(),
                    "it was " + word(c.subject(), !c.on()) + " for " + Limits.seconds(Samples.round(wrong)) + " of "
                            + Limits.seconds(Samples.round(known)) + ", first at "
                            + Limits.number(Samples.round(firstWrong)) + "\u00A0s");
        }
        String hole = hole(c.subject(), s, known);
        return new Judgement(name, expected, share * 100, 0, "% of the time", hole == null ? Outcome.PASS
                : Outcome.UNDECIDED, span.from(), span.until(), "it was " + word(c.subject(), c.on()) + " for "
                + Limits.seconds(Samples.round(known)) + ", told by " + s.samples.count
                + SignalJudge.frames(s.samples.count) + (hole == null ? "" : "; but " + hole));
    }

    /** A lamp's own time-out tells what it shows while nothing is sent; a bare signal has none. */
    private String hole(Switch subject, OnOff s, double known) {
        if (subject.lamp() != null && !Double.isNaN(subject.lamp().timeoutSeconds())) {
            boolean missing = known < span.seconds() - Math.max(1, 5 * period(s));
            return missing ? "for part of the time nothing is known" : null;
        }
        return s.samples.hole(recording.findings(), span.from(), span.until());
    }

    private static double period(OnOff s) {
        double period = s.samples.period();
        return Double.isNaN(period) ? 0 : period;
    }

    Judgement turns(Turns c) {
        OnOff s = OnOff.of(recording, c.subject(), span);
        String name = c.subject().name();
        String expected = (c.on() ? "comes on" : "goes out") + " within " + Limits.seconds(c.withinSeconds())
                + " and stays so";
        if (!s.known()) return absent(c.subject(), expected, s);
        int wanted = c.on() ? 1 : 0;
        int last = -1;
        for (int i = 0; i < s.count; i++) if (s.state[i] != OnOff.UNKNOWN && s.state[i] != wanted) last = i;
        if (last < 0) {
            return open(name, expected, "it was " + word(c.subject(), c.on()) + " from the beginning, so nothing shows"
                    + " that it changed: let the window begin earlier");
        }
        if (last == s.count - 1 || Arrays.stream(s.state, last + 1, s.count).allMatch(x -> x == OnOff.UNKNOWN)) {
            boolean over = span.seconds() > c.withinSeconds() + Limits.COVERAGE * span.fromError() && last == s.count - 1;
            return new Judgement(name, expected, span.seconds(), span.fromError(), "s",
                    over ? Outcome.FAIL : Outcome.UNDECIDED, s.at[last], span.until(), "it was still "
                    + word(c.subject(), !c.on()) + " when the window ended after " + Limits.seconds(Samples.round(span.seconds()))
                    + (over ? "" : ": record longer"));
        }
        double changed = s.at[last + 1];
        double after = changed - span.from();
        // The true change lies somewhere in the period before the frame that told it.
        double u = Math.hypot(span.fromError(), period(s) / Math.sqrt(12));
        Outcome outcome = Limits.judge(after, u, Double.NEGATIVE_INFINITY, c.withinSeconds());
        String hole = unsaid(c.subject(), changed);
        if (hole != null) outcome = outcome.and(Outcome.UNDECIDED);
        return new Judgement(name, expected, after, u, "s", outcome, changed, span.until(), "it "
                + (c.on() ? "came on" : "went out") + " " + Limits.text(after, u, "s")
                + " after the window's beginning" + (s.first() == wanted ? ", having changed back before" : "")
                + ", and stayed so for " + Limits.seconds(Samples.round(span.until() - changed))
                + (hole == null ? "" : "; but " + hole + ", so it stayed so for want of word"));
    }

    /** Why a state after {@code changed} holds because nobody speaks rather than because somebody says so, or null. */
    private String unsaid(Switch subject, double changed) {
        double timeout = subject.lamp() == null ? Double.NaN : subject.lamp().timeoutSeconds();
        // A sample just before the change belongs to it: a lamp needs a moment.
        double from = Math.max(span.from(), changed - 1e-3);
        // A bus that has gone to sleep keeps everything as it was: that is no lack of word.
        double until = SignalJudge.lastWhole(recording.findings().frames(), span);
        if (!(until > from)) return null;
        Samples after = Samples.of(recording.findings(), subject.reference(), from, until);
        String hole = after.hole(recording.findings(), from, until);
        if (hole == null) return null;
        return timeout > after.longestPause(from, until) ? null : hole;
    }

    Judgement blinks(Blinks c) {
        OnOff s = OnOff.of(recording, c.subject(), span);
        String name = c.subject().name();
        String expected = "blinks " + Limits.number(c.lowPerMinute()) + " to " + Limits.number(c.highPerMinute())
                + " times a minute" + (Double.isNaN(c.lowShare()) ? "" : ", lit for "
                + Limits.number(c.lowShare() * 100) + " to " + Limits.number(c.highShare() * 100) + "\u00A0% of each");
        if (!s.known()) return absent(c.subject(), expected, s);
        double[] rises = new double[s.count];
        double[] lit = new double[s.count];
        int n = 0;
        double on = 0;
        for (int i = 1; i < s.count; i++) {
            if (s.state[i] == 1 && s.state[i - 1] == 0) {
                lit[n] = on;
                rises[n++] = s.at[i];
            }
            if (s.state[i] == 1) on += (i + 1 < s.count ? s.at[i + 1] : span.until()) - s.at[i];
        }
        double slowest = 60 / Math.max(c.lowPerMinute(), 1e-6);
        if (n < 4) {
            boolean enough = span.seconds() > 5 * slowest && s.samples.hole(recording.findings(), span.from(), span.until()) == null;
            return new Judgement(name, expected, Double.NaN, Double.NaN, "a minute", enough ? Outcome.FAIL
                    : Outcome.UNDECIDED, span.from(), span.until(), "it " + (n == 0 ? "never came on" : n == 1
                    ? "came on once" : "came on " + n + " times") + " in " + Limits.seconds(Samples.round(span.seconds()))
                    + (enough ? "" : ": record at least five periods"));
        }
        double total = rises[n - 1] - rises[0];
        double mean = total / (n - 1);
        double rate = 60 / mean;
        double grain = period(s) / Math.sqrt(12);
        double u = rate * Math.sqrt(2) * grain / total;
        Outcome outcome = Limits.judge(rate, u, c.lowPerMinute(), c.highPerMinute());
        String says = "it blinks " + Limits.text(rate, u, "times a minute");
        double most = 0;
        for (int i = 1; i < n; i++) most = Math.max(most, Math.abs(rises[i] - rises[i - 1] - mean));
        if (most > IRREGULAR * mean + 2 * period(s)) {
            outcome = Outcome.FAIL;
            says += " on average, but unevenly: single periods differ by up to " + Limits.seconds(Samples.round(most));
        }
        double share = (lit[n - 1] - lit[0]) / total;
        double shareError = grain * Math.sqrt(2.0 * (n - 1)) / total;
        says += ", lit for " + Limits.text(share * 100, shareError * 100, "%") + " of each period";
        if (!Double.isNaN(c.lowShare())) outcome = outcome.and(Limits.judge(share, shareError, c.lowShare(), c.highShare()));
        return new Judgement(name, expected, rate, u, "a minute", outcome, rises[0], rises[n - 1], says + ", over "
                + (n - 1) + " periods");
    }

    private Judgement open(String name, String expected, String says) {
        return new Judgement(name, expected, Double.NaN, Double.NaN, "", Outcome.UNDECIDED, span.from(), span.until(), says);
    }

    private Judgement absent(Switch subject, String expected, OnOff s) {
        return SignalJudge.absent(recording, span, subject.reference(), subject.name(), expected, s.samples);
    }

    private static String word(Switch subject, boolean on) {
        return subject.lamp() == null ? on ? "on" : "off" : on ? "lit" : "dark";
    }
}
