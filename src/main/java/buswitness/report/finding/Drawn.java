package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameLog;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Which messages and instruments a page draws, the frames of each, and where it draws in full. */
final class Drawn {
    private static final int MOST_MESSAGES = 20;
    private static final int MOST_INSTRUMENTS = 20;
    private static final int MOST_STUDIED = 4;

    private final Findings findings;
    private final List<MessageFinding> messages = new ArrayList<>();
    private final List<InstrumentFinding> instruments;
    private final Map<Long, int[]> framesOf = new HashMap<>();

    Drawn(Findings findings) {
        this.findings = findings;
        instruments = instruments(findings);
        Set<Long> shown = new HashSet<>();
        for (InstrumentFinding i : instruments) shown.add(i.key());
        List<MessageFinding> all = new ArrayList<>(findings.clashes().messages());
        all.sort((a, b) -> {
            int byRank = rank(a, shown) - rank(b, shown);
            return byRank != 0 ? byRank : Integer.compare(b.frames() + b.damaged(), a.frames() + a.damaged());
        });
        messages.addAll(all.subList(0, Math.min(MOST_MESSAGES, all.size())));
        collectFrames();
    }

    private static List<InstrumentFinding> instruments(Findings findings) {
        List<InstrumentFinding> all = new ArrayList<>(findings.instruments().instruments());
        all.sort((a, b) -> (a.symptom() == Symptom.NONE ? 1 : 0) - (b.symptom() == Symptom.NONE ? 1 : 0));
        return all.subList(0, Math.min(MOST_INSTRUMENTS, all.size()));
    }

    private static int rank(MessageFinding m, Set<Long> shown) {
        if (m.verdict() == Verdict.TWO_SENDERS) return 0;
        if (m.verdict() == Verdict.UNDECIDED) return 1;
        return shown.contains(m.key()) ? 2 : 3;
    }

    private void collectFrames() {
        FrameLog log = findings.frames();
        Map<Long, int[]> count = new HashMap<>();
        for (MessageFinding m : messages) count.put(m.key(), new int[1]);
        for (int i = 0; i < log.size(); i++) {
            int[] c = count.get(log.key(i));
            if (c != null) c[0]++;
        }
        for (MessageFinding m : messages) framesOf.put(m.key(), new int[count.get(m.key())[0]]);
        for (int[] c : count.values()) c[0] = 0;
        for (int i = 0; i < log.size(); i++) {
            int[] c = count.get(log.key(i));
            if (c != null) framesOf.get(log.key(i))[c[0]++] = i;
        }
    }

    /** Lanes in the order drawn: clashing, undecided, those that instruments show, the busiest of the rest. */
    List<MessageFinding> messages() {
        return messages;
    }

    /** Misbehaving ones first. */
    List<InstrumentFinding> instruments() {
        return instruments;
    }

    /** Messages whose schedules and values are drawn as well. */
    List<MessageFinding> studied() {
        return messages.stream().filter(m -> m.verdict() != Verdict.ONE_SENDER).limit(MOST_STUDIED).toList();
    }

    /** Indexes into the frame log of one drawn message's frames, damaged ones included, ascending. */
    int[] frames(long key) {
        return framesOf.get(key);
    }

    double duration() {
        FrameLog log = findings.frames();
        double last = log.size() == 0 ? 0 : log.endPicos(log.size() - 1) * 1e-12;
        return Math.max(1e-3, Math.max(last, findings.bus().durationPicos() * 1e-12));
    }

    /** @param most things that may be drawn one by one: frames, samples, points */
    DetailPlan plan(int most) {
        FrameLog log = findings.frames();
        int frames = 0;
        for (int[] f : framesOf.values()) frames += f.length;
        long things = frames;
        for (InstrumentFinding i : instruments) things += 2L * i.trace().atSeconds().length;
        for (MessageFinding m : studied()) things += 5L * frames(m.key()).length;
        double[] starts = new double[frames];
        int n = 0;
        for (int[] f : framesOf.values()) for (int i : f) starts[n++] = log.startSeconds(i);
        Arrays.sort(starts);
        double weight = Math.max(1, frames == 0 ? 1 : (double) things / frames);
        double[] collisions = findings.clashes().collisions().stream().mapToDouble(c -> c.atSeconds()).sorted()
                .toArray();
        return DetailPlan.choose(duration(), starts, collisions, reversals(), (int) (most / weight));
    }

    /** Times at which a misbehaving instrument turns, ascending. */
    private double[] reversals() {
        double[][] each = instruments.stream().filter(i -> i.symptom() != Symptom.NONE).map(i -> {
            BitSet turns = TraceThinner.turns(i.trace().shown());
            return turns.stream().mapToDouble(k -> i.trace().atSeconds()[k]).toArray();
        }).toArray(double[][]::new);
        return Arrays.stream(each).flatMapToDouble(Arrays::stream).sorted().toArray();
    }
}
