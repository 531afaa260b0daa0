package buswitness.plan;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Schedule;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.plan.Criterion.OneSender;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.LongFunction;

/**
 * Who sends in a step's window. Two timers show over minutes, so the whole recording tells which sender each frame has, and
 * the window which frames count; only where the whole leaves it open is the window judged by itself.
 */
final class SenderJudge {
    /** Frames that were due from a sender before its silence tells anything. */
    private static final int DUE = 4;

    private final StepRecording recording;
    private final Span span;
    private final WindowView view;
    private final LongFunction<String> title;
    private ClashFindings alone;
    private final List<String> two = new ArrayList<>();
    private final List<String> open = new ArrayList<>();
    private final List<String> outside = new ArrayList<>();
    private String wanted = "";
    private int frames;
    private int messages;

    SenderJudge(StepRecording recording, Span span, LongFunction<String> title) {
        this.recording = recording;
        this.span = span;
        this.title = title;
        view = new WindowView(recording.findings(), span);
    }

    Judgement judge(OneSender c) {
        for (MessageFinding m : recording.findings().clashes().messages()) {
            if (c.message() == null || m.key() == MessageKey.of(c.message())) add(m);
        }
        String name = c.message() == null ? "every message" : c.message().name();
        Outcome outcome = !two.isEmpty() ? Outcome.FAIL : open.isEmpty() && messages > 0 ? Outcome.PASS : Outcome.UNDECIDED;
        String says = messages == 0 ? "it was never sent" + (view.whole() ? "" : " in this time") : !two.isEmpty()
                ? "two senders of " + BusJudge.some(two) : !open.isEmpty()
                ? "it is undecided who sends " + BusJudge.some(open) + wanted
                : messages == 1 ? "one sender in " + frames + SignalJudge.frames(frames)
                : "one sender for each of " + messages + " messages";
        if (!outside.isEmpty()) says += "; but outside this time the recording has two senders of " + BusJudge.some(outside);
        double count = outcome == Outcome.UNDECIDED ? messages == 0 ? 0 : Double.NaN : two.isEmpty() ? 1 : 2;
        return new Judgement(name, "has one sender", count, 0, count == 1 ? "sender" : "senders", outcome, span.from(),
                span.until(), says);
    }

    private void add(MessageFinding m) {
        FrameLog log = recording.findings().frames();
        ClashFindings clashes = recording.findings().clashes();
        Set<Integer> senders = new HashSet<>();
        int known = 0;
        int here = 0;
        for (int i = view.from(); i < view.to(); i++) {
            if (log.key(i) != m.key() || !log.isWhole(i)) continue;
            here++;
            if (clashes.senderOf(i) < 0) continue;
            known++;
            senders.add(clashes.senderOf(i));
        }
        if (here == 0 && !view.whole()) return;
        messages++;
        frames += here;
        Verdict verdict = m.verdict();
        String would = m.wanted();
        if (verdict == Verdict.TWO_SENDERS && senders.size() < 2 && !view.whole()) {
            outside.add(title.apply(m.key()));
            double slowest = m.schedules().stream().mapToDouble(Schedule::periodSeconds).max().orElse(Double.NaN);
            boolean enough = span.seconds() >= DUE * slowest;
            verdict = known == here && enough ? Verdict.ONE_SENDER : Verdict.UNDECIDED;
            would = enough ? "not every frame of this time tells its sender" : "the window is too short to hear everybody";
        } else if (verdict == Verdict.UNDECIDED && !view.whole()) {
            if (alone == null) alone = view.clashes();
            MessageFinding part = alone.message(m.key());
            if (part != null) verdict = part.verdict();
        }
        if (verdict == Verdict.TWO_SENDERS) two.add(title.apply(m.key()));
        if (verdict != Verdict.UNDECIDED) return;
        open.add(title.apply(m.key()));
        if (wanted.isEmpty() && would != null) wanted = ": " + would;
    }
}
