package buswitness.live;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.live.LiveState.Earlier;
import buswitness.live.LiveState.InstrumentNow;
import buswitness.live.LiveState.Judgement;
import buswitness.live.LiveState.MessageNow;
import buswitness.live.LiveState.SenderNow;
import buswitness.problem.Progress;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Supplier;

/** Judges the newest frames as {@code prove} judges a recording, again and again. Remembers clashes that went by. One thread. */
final class LiveJudge {
    /** A judgement that takes longer looks at fewer frames the next time. */
    private static final double LONGEST_SECONDS = 6;
    private static final int FEWEST_FRAMES = 4000;
    private static final double SETTLED_SECONDS = 20;

    private final LiveOptions options;
    private final Supplier<RecordingInfo> info;
    private final SteadyLabels steady = new SteadyLabels();
    private final Map<Long, Earlier> clashes = new HashMap<>();
    private final Map<Long, String> names = new HashMap<>();
    private int most;

    LiveJudge(LiveOptions options, Supplier<RecordingInfo> info) {
        this.options = options;
        this.info = info;
        this.most = options.mostFrames();
        if (options.layout() != null) {
            for (Message m : options.layout().messages()) names.putIfAbsent(MessageKey.of(m), m.name());
        }
    }

    /** How many frames to judge together the next time. */
    int most() {
        return most;
    }

    /** @param last the judgement before, or null */
    Judgement judge(LiveDecoder.Window window, Judgement last) {
        long begin = System.nanoTime();
        double from = window.zeroPicos() * 1e-12;
        double until = from + window.decoded().bus().durationPicos() * 1e-12;
        int frames = window.decoded().frames().size();
        try {
            Layout layout = options.layout();
            Findings f = Analysis.judge(new AnalysisReading(info.get(), "", layout, false, window.decoded(), List.of(), 0),
                    Progress.SILENT);
            return judgement(f, from, until, frames, begin);
        } catch (RuntimeException e) {
            // A fault of ours in the analysis must never end a recording.
            String why = e.getClass().getSimpleName();
            double took = (System.nanoTime() - begin) * 1e-9;
            if (last == null) {
                return new Judgement(from, until, frames, took, why, Answer.UNDECIDED, List.of(), List.of(), List.of(),
                        List.of());
            }
            return new Judgement(last.fromSeconds(), last.untilSeconds(), last.frames(), took, why, last.clash(),
                    last.senders(), last.messages(), last.instruments(), last.earlier());
        }
    }

    /** A cause is named once it is settled who sends; in the first seconds two senders look like one that jumps. */
    private static Cause cause(Findings f, InstrumentFinding i, double seconds) {
        if (i.cause() == Cause.TWO_SENDERS || i.cause() == Cause.DAMAGED_BY_TWO_SENDERS) return i.cause();
        MessageFinding m = f.clashes().message(i.key());
        boolean settled = seconds >= SETTLED_SECONDS && (m == null || m.verdict() == Verdict.ONE_SENDER);
        return settled ? i.cause() : Cause.UNDECIDED;
    }

    private Judgement judgement(Findings f, double from, double until, int frames, long begin) {
        List<Sender> senders = f.clashes().senders();
        List<String> labels = steady.labels(senders);
        Set<Integer> clashing = new TreeSet<>();
        List<MessageNow> messages = new ArrayList<>();
        for (MessageFinding m : f.clashes().messages()) {
            if (m.verdict() == Verdict.TWO_SENDERS) {
                clashing.addAll(m.senders());
                clashes.put(m.key(), new Earlier(m.key(), names.get(m.key()), m.strength(), from, until));
            }
            messages.add(new MessageNow(m.key(), names.get(m.key()), m.verdict(), m.strength(),
                    m.senders().stream().map(labels::get).toList(), m.frames(), m.damaged()));
        }
        List<SenderNow> who = new ArrayList<>();
        for (int i = 0; i < senders.size(); i++) {
            Sender s = senders.get(i);
            who.add(new SenderNow(labels.get(i), s.name(), s.clockPpm(), s.clockPpmError(), s.keys(),
                    clashing.contains(i), Double.NaN));
        }
        who.sort(java.util.Comparator.comparing((SenderNow s) -> s.label().length()).thenComparing(SenderNow::label));
        List<InstrumentNow> instruments = new ArrayList<>();
        for (InstrumentFinding i : f.instruments().instruments()) {
            if (i.symptom() == Symptom.NONE || i.cause() == Cause.BLINKING) continue;
            instruments.add(new InstrumentNow(i.name(), i.lamp(), i.symptom(), cause(f, i, until - from)));
        }
        // Frames that hold all of an earlier judgement's and do not say the same know better.
        clashes.values().removeIf(e -> e.untilSeconds() < until && e.fromSeconds() >= from);
        List<Earlier> earlier = clashes.values().stream().filter(e -> e.untilSeconds() < until)
                .sorted(java.util.Comparator.comparingDouble(Earlier::untilSeconds).reversed()).limit(20).toList();
        double took = (System.nanoTime() - begin) * 1e-9;
        if (took > LONGEST_SECONDS && frames >= most) most = Math.max(FEWEST_FRAMES, most / 2);
        return new Judgement(from, until, frames, took, null, f.clashes().clash(), who, messages, instruments, earlier);
    }
}
