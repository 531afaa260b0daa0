package buswitness.plan;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.clashes.ClashFindings;
import buswitness.clashes.Collision;
import buswitness.frames.Decoded;
import buswitness.frames.FrameLog;
import buswitness.instruments.InstrumentFindings;
import buswitness.instruments.Instruments;
import buswitness.problem.Progress;
import java.util.ArrayList;
import java.util.List;

/** A recording's findings cut down to a step's window; times within count from the window's beginning. */
final class WindowView {
    private final Findings all;
    private final Span span;
    private final int from;
    private final int to;
    private final boolean whole;

    WindowView(Findings all, Span span) {
        this.all = all;
        this.span = span;
        FrameLog log = all.frames();
        int first = 0;
        while (first < log.size() && log.startSeconds(first) < span.from()) first++;
        int end = first;
        while (end < log.size() && log.startSeconds(end) <= span.until()) end++;
        from = first;
        to = end;
        whole = from == 0 && to == log.size();
    }

    /** First frame of the window. */
    int from() {
        return from;
    }

    /** The frame behind its last. */
    int to() {
        return to;
    }

    /** Whether every frame of the recording lies in it. */
    boolean whole() {
        return whole;
    }

    /** What needles and lamps did in it, by who sent each frame as the whole recording tells. */
    InstrumentFindings instruments() {
        if (whole) return all.instruments();
        ClashFindings c = all.clashes();
        int[] senderOf = new int[to - from];
        float[] confidence = new float[to - from];
        for (int i = from; i < to; i++) {
            senderOf[i - from] = c.senderOf(i);
            confidence[i - from] = c.confidence(i);
        }
        List<Collision> collisions = new ArrayList<>();
        for (Collision x : c.collisions()) {
            List<Integer> frames = x.frames().stream().filter(f -> f >= from && f < to).map(f -> f - from).toList();
            if (frames.isEmpty()) continue;
            collisions.add(new Collision(x.atSeconds() - span.from(), x.untilSeconds() - span.from(), x.key(), x.breakBit(),
                    frames, x.firstMeant(), x.secondMeant(), x.onWire(), x.firstSender(), x.secondSender(),
                    x.errorCounter(), x.conclusive(), x.because(), x.kind()));
        }
        Decoded cut = decoded();
        return Instruments.replay(cut.frames(), cut.bus(), cut.gaps(),
                new ClashFindings(c.clash(), c.senders(), c.messages(), collisions, senderOf, confidence), all.layout());
    }

    /** The verdicts on its frames alone. */
    ClashFindings clashes() {
        if (whole) return all.clashes();
        return Analysis.judge(new AnalysisReading(all.recording(), all.line(), all.layout(), false, decoded(), List.of(), 0),
                Progress.SILENT).clashes();
    }

    private Decoded decoded() {
        return new Decoded(all.bus(), all.frames(), all.gaps()).window(from, to, Math.round(span.from() * 1e12),
                Math.round(span.until() * 1e12));
    }
}
