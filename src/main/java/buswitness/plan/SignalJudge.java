package buswitness.plan;

import buswitness.frames.FrameLog;
import buswitness.plan.Criterion.Between;
import buswitness.plan.Criterion.Counts;
import buswitness.plan.Criterion.Follows;
import buswitness.plan.Criterion.Moves;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Judges values of signals. */
final class SignalJudge {
    private static final double FEWEST_PERIODS = 3;
    private static final double SEARCH_SECONDS = 1;
    /** The share of deviations that must lie within a tolerance: one late frame is no fault. */
    static final double MOST = 0.95;
    /** How far a count may stray at a steady speed: teeth are uneven, and so are the gaps between pulses (no source). */
    private static final double UNSTEADY = 0.05;

    private final StepRecording recording;
    private final Span span;

    SignalJudge(StepRecording recording, Span span) {
        this.recording = recording;
        this.span = span;
    }

    Judgement between(Between c) {
        Reference signal = c.signal();
        String unit = signal.signal().unit();
        String name = signal.signal().name();
        String expected = expected(c, unit);
        Samples s = samples(signal);
        if (s.count == 0) return absent(signal, name, expected, s);
        double u = signal.resolution();
        int worst = 0;
        Outcome outcome = Outcome.PASS;
        int bad = 0;
        for (int i = 0; i < s.count; i++) {
            Outcome one = Limits.judge(s.value[i], u, c.low(), c.high());
            if (one != Outcome.PASS) bad++;
            if (rank(one) > rank(outcome)) worst = i;
            outcome = outcome.and(one);
        }
        double least = Arrays.stream(s.value, 0, s.count).min().orElse(Double.NaN);
        double most = Arrays.stream(s.value, 0, s.count).max().orElse(Double.NaN);
        String seen = least == most ? "it says " + Limits.text(least, u, unit) + " throughout"
                : "it runs from " + Limits.number(least) + " to " + Limits.text(most, u, unit);
        String says = seen + ", in " + s.count + frames(s.count);
        if (outcome != Outcome.PASS) {
            says += "; " + bad + " of them " + (outcome == Outcome.FAIL ? "outside" : "too near the limit to tell")
                    + ", first at " + Limits.number(Samples.round(s.at[worst])) + "\u00A0s";
        }
        String hole = s.hole(recording.findings(), span.from(), span.until());
        if (outcome == Outcome.PASS && hole != null) {
            outcome = Outcome.UNDECIDED;
            says += "; but " + hole;
        }
        double measured = outcome == Outcome.PASS ? Robust.median(s.value, s.count) : s.value[worst];
        boolean place = outcome != Outcome.PASS && bad > 0;
        return new Judgement(name, expected, measured, u, unit, outcome, place ? s.at[worst] : span.from(),
                place ? s.at[worst] : span.until(), says);
    }

    private static int rank(Outcome o) {
        return o == Outcome.PASS ? 0 : o == Outcome.UNDECIDED ? 1 : 2;
    }

    private static String expected(Between c, String unit) {
        String tail = unit.isEmpty() ? "" : "\u00A0" + unit;
        if (c.low() == c.high()) return "is " + Limits.number(c.low()) + tail;
        double half = (c.high() - c.low()) / 2;
        double middle = (c.high() + c.low()) / 2;
        return c.single() ? "is " + Limits.number(middle) + " within " + Limits.number(half) + tail
                : "from " + Limits.number(c.low()) + " to " + Limits.number(c.high()) + tail;
    }

    Judgement moves(Moves c) {
        Reference signal = c.signal();
        String unit = signal.signal().unit();
        String tail = unit.isEmpty() ? "" : "\u00A0" + unit;
        String name = signal.signal().name();
        String expected = (c.up() ? "rises by " : "falls by ") + Limits.number(c.by()) + tail + " or more";
        Samples s = samples(signal);
        if (s.count == 0) return absent(signal, name, expected, s);
        if (s.count < 2) return undecided(name, expected, "a single frame shows no movement: record longer");
        int k = Math.max(1, Math.min(5, s.count / 4));
        double begin = Robust.median(Arrays.copyOf(s.value, k));
        double end = Robust.median(Arrays.copyOfRange(s.value, s.count - k, s.count));
        double u = Math.hypot(Math.sqrt(2) * signal.resolution(), Math.sqrt(2) * noise(s) / Math.sqrt(k));
        double moved = c.up() ? end - begin : begin - end;
        Outcome outcome = Limits.judge(moved, u, c.by(), Double.POSITIVE_INFINITY);
        String says = "it goes from " + Limits.number(begin) + " to " + Limits.number(end) + tail + " in "
                + Limits.seconds(Samples.round(s.at[s.count - 1] - s.at[0]));
        if (outcome == Outcome.PASS && Samples.gapIn(recording.findings(), span.from(), span.until())) {
            outcome = Outcome.UNDECIDED;
            says += "; but part of this time was not recorded";
        }
        return new Judgement(name, expected, moved, u, unit, outcome, s.at[0], s.at[s.count - 1], says);
    }

    /** Scatter of single samples from the second differences, which a steady movement leaves alone. */
    private static double noise(Samples s) {
        if (s.count < 5) return 0;
        double[] second = new double[s.count - 2];
        for (int i = 0; i < second.length; i++) second[i] = s.value[i + 2] - 2 * s.value[i + 1] + s.value[i];
        return Robust.spread(second, second.length, 0) / Math.sqrt(6);
    }

    List<Judgement> follows(Follows c) {
        String unit = c.signal().signal().unit();
        String name = c.signal().signal().name();
        String other = c.other().signal().name();
        String expected = "follows " + other + " within " + Limits.number(c.tolerance())
                + (unit.isEmpty() ? "" : "\u00A0" + unit);
        Samples a = samples(c.signal());
        Samples b = Samples.of(recording.findings(), c.other(), span.from() - 5, span.until());
        if (a.count == 0) return List.of(absent(c.signal(), name, expected, a));
        if (b.count < 2 || a.count < 8) {
            return List.of(undecided(name, expected, b.count < 2 ? other + " was not sent: nothing to compare with"
                    : "too few frames: record longer"));
        }
        double[] target = new double[b.count];
        for (int i = 0; i < b.count; i++) target[i] = c.ratio() * b.value[i] + c.offset();
        double least = Arrays.stream(target).min().orElse(0);
        double most = Arrays.stream(target).max().orElse(0);
        // Both are read at instants that fall anywhere in the other's period, which happens to differ from drive to drive.
        double phase = steepest(b, target) * b.period() / Math.sqrt(12);
        double u = Math.hypot(phase, Math.hypot(c.signal().resolution(), Math.abs(c.ratio()) * c.other().resolution()));
        double reach = Double.isNaN(c.delayAtMost()) ? SEARCH_SECONDS : Math.max(2 * c.delayAtMost(), 0.2);
        Lag lag = Lag.find(a, b, target, reach);
        double far = Robust.quantile(lag.deviations(), MOST);
        Outcome outcome = Limits.judge(far, u, Double.NEGATIVE_INFINITY, c.tolerance());
        String says = Limits.number(MOST * 100) + "\u00A0% of " + a.count + " frames lie within "
                + Limits.text(far, u, unit) + " of it, followed " + Limits.seconds(Samples.round(lag.seconds())) + " later";
        if (outcome == Outcome.PASS && most - least < 4 * c.tolerance()) {
            outcome = Outcome.UNDECIDED;
            says = other + " moved by " + Limits.number(most - least) + (unit.isEmpty() ? "" : "\u00A0" + unit)
                    + " only, which shows no following: move it by " + Limits.number(4 * c.tolerance()) + " or more";
        }
        List<Judgement> out = new ArrayList<>();
        out.add(new Judgement(name, expected, far, u, unit, outcome, span.from(), span.until(), says));
        if (!Double.isNaN(c.delayAtMost())) {
            Outcome late = outcome == Outcome.UNDECIDED ? Outcome.UNDECIDED
                    : Limits.judge(lag.seconds(), lag.error(), Double.NEGATIVE_INFINITY, c.delayAtMost());
            out.add(new Judgement(name, "at most " + Limits.seconds(c.delayAtMost()) + " behind " + other, lag.seconds(),
                    lag.error(), "s", late, span.from(), span.until(), "it fits best "
                    + Limits.text(lag.seconds(), lag.error(), "s") + " behind " + other));
        }
        return out;
    }

    /** The rate of change, in units a second, that 95 % of the steps of a track do not exceed. */
    private static double steepest(Samples s, double[] target) {
        double[] rate = new double[s.count - 1];
        for (int i = 1; i < s.count; i++) {
            rate[i - 1] = s.at[i] > s.at[i - 1] ? Math.abs(target[i] - target[i - 1]) / (s.at[i] - s.at[i - 1]) : 0;
        }
        return Robust.quantile(rate, MOST);
    }

    Judgement counts(Counts c) {
        Reference signal = c.signal();
        String unit = c.kilometre() ? "pulses per km" : "pulses per turn";
        String name = signal.signal().name();
        String expected = Limits.number(c.pulses()) + " " + unit + " within " + Limits.number(c.tolerance() * 100) + "\u00A0%";
        Samples s = samples(signal);
        if (s.count == 0) return absent(signal, name, expected, s);
        LineTrace line = recording.lines().get(c.line());
        double tick = recording.info().tickPicos() * 1e-12;
        double[] ratio = new double[s.count];
        double[] speed = new double[s.count];
        double[] at = new double[s.count];
        double pulseError = 0;
        int n = 0;
        for (int i = 0; i < s.count; i++) {
            // One second of pulses behind each frame: what the translator can have counted.
            double[] f = line.frequency(Math.max(span.from(), s.at[i] - 1), s.at[i], tick);
            if (s.at[i] - span.from() < 1 || Double.isNaN(f[0]) || f[2] < 4) continue;
            speed[n] = f[0] * c.unitsPerHertz();
            at[n] = s.at[i];
            pulseError = Math.max(pulseError, Math.hypot(f[1] / f[0], LineTrace.RECORDER_CLOCK));
            ratio[n] = s.value[i] / speed[n++];
        }
        if (n < 3) {
            return undecided(name, expected, "line '" + c.line() + "' carries too few pulses in this time: feed 4 a second"
                    + " or more for some seconds");
        }
        if (line.hasGap(span.from(), span.until())) return undecided(name, expected, "part of this time was not recorded");
        double k = Robust.median(ratio, n);
        double usual = Robust.median(speed, n);
        double seconds = Math.max(1, Math.min(n, s.at[s.count - 1] - s.at[0]));
        double scatter = Robust.spread(ratio, n, k) * 1.2533 / Math.sqrt(seconds);
        double u = Math.sqrt(Math.pow(signal.resolution() / usual, 2) + scatter * scatter + pulseError * pulseError * k * k);
        if (!(k > 0)) {
            return new Judgement(name, expected, Double.NaN, Double.NaN, unit, Outcome.FAIL, span.from(), span.until(),
                    "it stays at 0 while line '" + c.line() + "' carries "
                            + Limits.number(usual / c.unitsPerHertz()) + "\u00A0Hz");
        }
        double pulses = c.pulses() / k;
        double error = pulses * u / k;
        Outcome outcome = Limits.judge(pulses, error, c.pulses() * (1 - c.tolerance()), c.pulses() * (1 + c.tolerance()));
        double hertz = usual / c.unitsPerHertz();
        String swings = swings(c, at, ratio, speed, n, k);
        if (swings != null) outcome = Outcome.FAIL;
        return new Judgement(name, expected, pulses, error, unit, outcome, span.from(), span.until(), "at "
                + Limits.text(hertz, hertz * pulseError, "Hz") + " it says "
                + Limits.text(k * usual, signal.resolution(), signal.signal().unit()) + ", where "
                + Limits.number(c.pulses()) + " " + unit + " would be " + Limits.number(round3(usual)) + "\u00A0"
                + signal.signal().unit() + (swings == null ? "" : swings));
    }

    /**
     * What the usual frame hides, or null: while the pulses came steadily, more frames than a late one here and there say
     * something else. Two senders, or a count that drops out.
     */
    private String swings(Counts c, double[] at, double[] ratio, double[] speed, int n, double k) {
        int steady = 0;
        int off = 0;
        double worst = k;
        double slack = Math.max(UNSTEADY, 2 * c.tolerance());
        int before = 0;
        for (int i = 1; i < n; i++) {
            while (at[i] - at[before + 1] >= 2) before++;
            if (at[i] - at[before] < 2 || Math.abs(speed[i] / speed[before] - 1) > 0.02) continue;
            steady++;
            if (Math.abs(ratio[i] / k - 1) <= slack + 4 * c.signal().resolution() / (k * speed[i])) continue;
            off++;
            if (Math.abs(ratio[i] - k) >= Math.abs(worst - k)) worst = ratio[i];
        }
        if (off < 3 || off <= (1 - MOST) * steady) return null;
        return "; but while the pulses came steadily " + off + " of " + steady + " frames say something else, down or up to "
                + Limits.number(Math.rint(worst / k * 100)) + "\u00A0% of that";
    }

    private static double round3(double v) {
        return Math.rint(v * 1e3) / 1e3;
    }

    private Samples samples(Reference signal) {
        return Samples.of(recording.findings(), signal, span.from(), span.until());
    }

    private Judgement undecided(String name, String expected, String says) {
        return new Judgement(name, expected, Double.NaN, Double.NaN, "", Outcome.UNDECIDED, span.from(), span.until(), says);
    }

    private Judgement absent(Reference signal, String name, String expected, Samples s) {
        return absent(recording, span, signal, name, expected, s);
    }

    /** Nothing was sent: a failure where it was due and the bus was awake, else undecided. */
    static Judgement absent(StepRecording recording, Span span, Reference signal, String name, String expected,
                            Samples s) {
        String message = signal.message().name();
        double every = signal.message().everySeconds();
        boolean due = !Double.isNaN(every) && span.seconds() >= FEWEST_PERIODS * every;
        boolean gap = Samples.gapIn(recording.findings(), span.from(), span.until());
        int others = wholeFrames(recording.findings().frames(), span);
        String why = s.frames > 0 ? message + " came, but never with this value's page"
                : others == 0 ? "nothing at all was sent in this time" : message + " was not sent in this time";
        boolean fails = due && !gap && others > 0 && s.frames == 0;
        return new Judgement(name, expected, Double.NaN, Double.NaN, "", fails ? Outcome.FAIL : Outcome.UNDECIDED,
                span.from(), span.until(), why);
    }

    static int wholeFrames(FrameLog log, Span span) {
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i) && log.startSeconds(i) >= span.from() && log.startSeconds(i) <= span.until()) n++;
        }
        return n;
    }

    /** Start of the last whole frame of any message in the window, in seconds; NaN without any. */
    static double lastWhole(FrameLog log, Span span) {
        for (int i = log.size() - 1; i >= 0; i--) {
            double now = log.startSeconds(i);
            if (log.isWhole(i) && now >= span.from() && now <= span.until()) return now;
        }
        return Double.NaN;
    }

    static String frames(int n) {
        return n == 1 ? " frame" : " frames";
    }
}
