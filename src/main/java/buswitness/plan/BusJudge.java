package buswitness.plan;

import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.plan.Criterion.Every;
import buswitness.plan.Criterion.FallsSilent;
import buswitness.plan.Criterion.NothingFlaps;
import buswitness.plan.Criterion.OneSender;
import buswitness.schema.Message;
import buswitness.stats.LineFit;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** Judges messages, frames and the bus as a whole. */
final class BusJudge {
    private static final int MOST_NAMED = 4;
    /** A message that comes so many periods after the window's beginning came late, or stopped so long before its end. */
    private static final double LEAST_STOP_PERIODS = 3;
    /** Frames that may be missing before a mean period counts them, as a share (common practice, no source). */
    private static final double FEW_MISSING = 0.05;

    private final StepRecording recording;
    private final Span span;
    private final FrameLog log;

    BusJudge(StepRecording recording, Span span) {
        this.recording = recording;
        this.span = span;
        log = recording.findings().frames();
    }

    Judgement every(Every c) {
        String name = c.message().name();
        double limit = c.periodSeconds() * c.tolerance();
        String expected = "comes every " + Limits.seconds(c.periodSeconds()) + " within " + Limits.number(c.tolerance() * 100)
                + "\u00A0%" + (Double.isNaN(c.longestSeconds()) ? "" : ", no pause over " + Limits.seconds(c.longestSeconds()));
        double[] at = starts(MessageKey.of(c.message()));
        boolean gap = Samples.gapIn(recording.findings(), span.from(), span.until());
        if (at.length < 4) {
            boolean due = !gap && span.seconds() > 6 * c.periodSeconds() && SignalJudge.wholeFrames(log, span) > at.length;
            return new Judgement(name, expected, Double.NaN, Double.NaN, "ms", due ? Outcome.FAIL : Outcome.UNDECIDED,
                    span.from(), span.until(), at.length + " whole" + SignalJudge.frames(at.length) + " in "
                    + Limits.seconds(Samples.round(span.seconds())) + (due ? ", where "
                    + Limits.number(Math.floor(span.seconds() / c.periodSeconds())) + " were due" : ": record longer"));
        }
        double[] gaps = new double[at.length - 1];
        for (int i = 0; i < gaps.length; i++) gaps[i] = at[i + 1] - at[i];
        double usual = Robust.median(gaps);
        double[] index = new double[at.length];
        double longest = 0;
        int worst = 0;
        int skipped = 0;
        for (int i = 1; i < at.length; i++) {
            double teeth = Math.max(1, Math.rint(gaps[i - 1] / usual));
            index[i] = index[i - 1] + teeth;
            skipped += (int) teeth - 1;
            if (gaps[i - 1] <= longest) continue;
            longest = gaps[i - 1];
            worst = i - 1;
        }
        double[] idle = idleEnds(at);
        for (int e = 0; e < 2; e++) {
            if (idle[e] <= Math.max(longest, LEAST_STOP_PERIODS * usual)) continue;
            longest = idle[e];
            worst = e == 0 ? -1 : at.length - 1;
        }
        for (double end : idle) skipped += (int) Math.max(0, Math.rint(end / usual - 1));
        LineFit fit = LineFit.leastSquares(index, at, at.length);
        double tick = recording.info().tickPicos() * 1e-12;
        double u = Math.hypot(Math.hypot(fit.slopeError(), tick / Math.max(1, index[at.length - 1])),
                fit.slope() * LineTrace.RECORDER_CLOCK);
        Outcome outcome = Limits.judge(fit.slope(), u, c.periodSeconds() - limit, c.periodSeconds() + limit);
        String says = "it comes every " + Limits.text(fit.slope() * 1e3, u * 1e3, "ms") + ", " + at.length + " frames, "
                + (skipped == 0 ? "none missing" : skipped + " missing") + ", longest pause "
                + Limits.seconds(Samples.round(longest));
        double from = span.from();
        // The mean period counts what is missing: nothing for a frame now and then, but not a third of them.
        double share = (double) skipped / (at.length + skipped);
        if (skipped > 2 && share > Math.max(c.tolerance(), FEW_MISSING)) {
            outcome = outcome.and(gap ? Outcome.UNDECIDED : Outcome.FAIL);
            from = worst < 0 ? span.from() : at[worst];
            says += "; " + Limits.number(Math.rint(share * 1000) / 10) + "\u00A0% of those due, while others were heard";
        }
        if (!Double.isNaN(c.longestSeconds()) && longest > c.longestSeconds()) {
            outcome = gap ? outcome.and(Outcome.UNDECIDED) : Outcome.FAIL;
            from = worst < 0 ? span.from() : at[worst];
        }
        return new Judgement(name, expected, fit.slope() * 1e3, u * 1e3, "ms", outcome, from, span.until(), says);
    }

    /** How long others were heard in the window before the first and after the last of these, in seconds. */
    private double[] idleEnds(double[] at) {
        double[] idle = new double[2];
        for (int i = 0; i < log.size(); i++) {
            double now = log.startSeconds(i);
            if (!log.isWhole(i) || now < span.from() || now > span.until()) continue;
            if (now < at[0]) idle[0] = Math.max(idle[0], at[0] - now);
            if (now > at[at.length - 1]) idle[1] = Math.max(idle[1], now - at[at.length - 1]);
        }
        return idle;
    }

    private double[] starts(long key) {
        double[] at = new double[log.size()];
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            double now = log.startSeconds(i);
            if (log.key(i) == key && log.isWhole(i) && !log.isRemote(i) && now >= span.from() && now <= span.until()) at[n++] = now;
        }
        return Arrays.copyOf(at, n);
    }

    Judgement oneSender(OneSender c) {
        return new SenderJudge(recording, span, this::title).judge(c);
    }

    Judgement noDamage() {
        int damaged = 0;
        double first = Double.NaN;
        Map<String, Integer> kinds = new TreeMap<>();
        for (int i = 0; i < log.size(); i++) {
            FrameFault fault = log.fault(i);
            double now = log.startSeconds(i);
            if (!fault.isDamage()) continue;
            if (now < span.from() || now > span.until()) continue;
            if (damaged++ == 0) first = now;
            kinds.merge(fault.text(), 1, Integer::sum);
        }
        int whole = SignalJudge.wholeFrames(log, span);
        String expected = "no damaged frame";
        if (!recording.findings().bus().wire()) {
            return new Judgement("the bus", expected, Double.NaN, Double.NaN, "", Outcome.UNDECIDED, span.from(),
                    span.until(), "a table of frames does not show damaged ones: record the wire");
        }
        boolean gap = Samples.gapIn(recording.findings(), span.from(), span.until());
        boolean coarse = recording.findings().bus().tickTooCoarse(recording.info().tickPicos());
        Outcome outcome = damaged > 0 ? coarse ? Outcome.UNDECIDED : Outcome.FAIL : whole == 0 || gap ? Outcome.UNDECIDED : Outcome.PASS;
        List<String> which = new ArrayList<>();
        kinds.forEach((kind, n) -> which.add(n + " × " + kind));
        String says = damaged > 0 ? damaged + " damaged beside " + whole + " whole frames (" + some(which) + "), first at "
                + Limits.number(Samples.round(first)) + "\u00A0s" + (coarse ? "; but the recorder's tick is too"
                + " coarse for this bus, and frames may look broken that are not: record with " +
                Limits.number(Math.rint(recording.findings().bus().bitPicos()
                * 0.05e-3)) + "\u00A0ns or finer" : "") : whole == 0 ? "no frame at all in this time"
                : "none in " + whole + " whole frames; were there any, there are fewer than "
                // Rule of three: with none seen, the rate is below 3 / time with 95 % confidence (B. D. Jovanovic and
                // P. S. Levy, The American Statistician 51, 1997).
                + Limits.number(Math.ceil(1800 / span.seconds()) / 10) + " a minute, with 95\u00A0% confidence"
                + (gap ? "; but part of this time was not recorded" : "");
        return new Judgement("the bus", expected, damaged, 0, damaged == 1 ? "damaged frame" : "damaged frames", outcome,
                damaged > 0 ? first : span.from(), span.until(), says);
    }

    /** What needles and lamps did in the window, as {@code prove} sees it. */
    Judgement nothingFlaps(NothingFlaps c) {
        List<String> flapping = new ArrayList<>();
        List<String> silent = new ArrayList<>();
        List<String> untold = new ArrayList<>();
        List<String> disputed = new ArrayList<>();
        int judged = 0;
        String says = null;
        for (InstrumentFinding i : new WindowView(recording.findings(), span).instruments().instruments()) {
            if (c.instrument() != null && !c.instrument().equals(i.name())) continue;
            judged++;
            if (i.flapping()) {
                flapping.add(i.name());
                if (says == null) says = i.says();
            } else if (i.trace().atSeconds().length == 0
                    || i.symptom() != Symptom.NONE && i.cause() == Cause.MISSING_FRAMES && neverTold(i)) {
                silent.add(i.name());
            } else if (i.symptom() != Symptom.NONE && i.cause() == Cause.MISSING_FRAMES) {
                untold.add(i.name());
            } else if (i.symptom() == Symptom.NONE && i.cause() == Cause.TWO_SENDERS) {
                disputed.add(i.says().replaceFirst("\\.$", ""));
            }
        }
        String name = c.instrument() == null ? "gauges and lamps" : c.instrument();
        if (says == null) {
            says = !silent.isEmpty() ? "never told anything in this recording: " + some(silent)
                    : !untold.isEmpty() ? "not told anything for part of this time, so what is calm there shows nothing: " + some(untold)
                    : judged == 1 ? "it is calm" : "all " + judged + " are calm";
        }
        says = inSentence(says);
        if (flapping.size() > 1) says = some(flapping) + "; " + says;
        // A needle at its stop shows nothing of two senders that disagree: calm today, swinging when the engine is warm.
        if (!disputed.isEmpty()) says = says.replaceFirst("\\.$", "") + "; but "
                + some(disputed.stream().map(BusJudge::inSentence).toList());
        Outcome outcome = !flapping.isEmpty() ? Outcome.FAIL : silent.isEmpty() && untold.isEmpty() && disputed.isEmpty()
                && judged > 0
                ? Outcome.PASS : Outcome.UNDECIDED;
        return new Judgement(name, "no needle swings, no lamp flickers", flapping.size(), 0,
                flapping.size() == 1 ? "instrument flaps" : "instruments flap", outcome, span.from(), span.until(), says);
    }

    /** One of our sentences on an instrument, as a clause. */
    private static String inSentence(String sentence) {
        return sentence.startsWith("The ") ? "the " + sentence.substring(4) : sentence;
    }

    private boolean neverTold(InstrumentFinding i) {
        return starts(i.key()).length == 0;
    }

    Judgement fallsSilent(FallsSilent c) {
        String expected = "silent within " + Limits.seconds(c.withinSeconds()) + " and for "
                + Limits.seconds(c.forSeconds()) + " or more";
        double last = span.from();
        double pause = 0;
        double woke = Double.NaN;
        long wokeBy = MessageKey.UNKNOWN;
        for (int i = 0; i < log.size(); i++) {
            double start = log.startSeconds(i);
            double end = log.endPicos(i) * 1e-12;
            if (end <= span.from() || start > span.until()) continue;
            if (start - last > Math.max(pause, 1)) {
                pause = start - last;
                woke = start;
                wokeBy = log.key(i);
            }
            last = Math.max(last, end);
        }
        double after = last - span.from();
        double silent = Math.max(0, span.until() - last);
        double u = span.fromError();
        Outcome inTime = Limits.judge(after, u, Double.NEGATIVE_INFINITY, c.withinSeconds());
        boolean gap = Samples.gapIn(recording.findings(), span.from(), span.until());
        String says = "the last frame ends " + Limits.text(after, u, "s") + " after the window's beginning, then "
                + Limits.seconds(Samples.round(silent)) + " of silence";
        Outcome outcome;
        if (inTime == Outcome.FAIL) {
            outcome = Outcome.FAIL;
            if (!Double.isNaN(woke)) {
                says += "; it was silent for " + Limits.seconds(Samples.round(pause)) + " and woken at "
                        + Limits.number(Samples.round(woke)) + "\u00A0s by " + title(wokeBy);
            } else if (!lastHeard(last).isEmpty()) {
                says += "; last heard: " + some(lastHeard(last));
            }
        } else if (silent < c.forSeconds()) {
            outcome = Outcome.UNDECIDED;
            says += ": record at least " + Limits.seconds(Math.ceil(c.withinSeconds() + c.forSeconds()));
        } else {
            outcome = gap ? inTime.and(Outcome.UNDECIDED) : inTime;
            if (gap) says += "; but part of this time was not recorded";
        }
        return new Judgement("the bus", expected, after, u, "s", outcome, last, span.until(), says);
    }

    /** Messages of the last second before silence: whoever kept the bus awake. */
    private List<String> lastHeard(double last) {
        List<String> names = new ArrayList<>();
        for (int i = log.size() - 1; i >= 0 && log.startSeconds(i) > last - 1; i--) {
            String name = title(log.key(i));
            if (log.isWhole(i) && !names.contains(name)) names.add(name);
        }
        return names;
    }

    private String title(long key) {
        for (Message m : recording.findings().layout().messages()) {
            if (MessageKey.of(m) == key) return m.name() + " (" + MessageKey.text(key) + ")";
        }
        return MessageKey.text(key);
    }

    static String some(List<String> names) {
        if (names.size() <= MOST_NAMED) return String.join(", ", names);
        return String.join(", ", names.subList(0, MOST_NAMED)) + " and " + (names.size() - MOST_NAMED) + " more";
    }
}
