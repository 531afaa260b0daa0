package buswitness.calibrate;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.clashes.ClashFindings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameLog;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import buswitness.problem.Progress;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;

/** One bus through simulator, decoder and judgement, held against the truth. */
final class Trial {
    private final RandomBus bus;
    private final TruthLog truth;
    private final Findings findings;
    /** For each frame of the log the true frame's index, -1 where none fits. */
    private final int[] trueFrame;

    private Trial(RandomBus bus, TruthLog truth, Findings findings) {
        this.bus = bus;
        this.truth = truth;
        this.findings = findings;
        FrameLog frames = findings.frames();
        trueFrame = new int[frames.size()];
        long near = Math.round(2 * bus.scenario().recorder().tickPicos() + 1e12 / bus.scenario().bitsPerSecond());
        for (int i = 0; i < trueFrame.length; i++) trueFrame[i] = truth.at(frames.startPicos(i), near);
    }

    static Outcome run(long seed, int mostFrames) {
        RandomBus bus = RandomBus.of(seed, mostFrames);
        try {
            return of(bus).outcome(seed);
        } catch (RuntimeException | StackOverflowError fault) {
            StackTraceElement[] trace = fault.getStackTrace();
            return new Outcome(seed, bus, Double.NaN, 0, 0, 0, List.of(), false, 0, List.of(),
                    fault.getClass().getSimpleName() + (trace.length > 0 ? " at " + trace[0] : ""));
        }
    }

    static Trial of(RandomBus bus) {
        Scenario scenario = bus.scenario();
        List<String> names = scenario.nodes().stream().map(n -> n.name()).toList();
        Set<Long> watched = bus.clashes().stream().map(RandomBus.Clash::key).collect(Collectors.toSet());
        TruthLog truth = new TruthLog(names, watched);
        return new Trial(bus, truth, Analysis.judge(read(scenario, truth), Progress.SILENT));
    }

    /** Simulates a scenario straight into the frame reader. */
    static AnalysisReading read(Scenario scenario, TruthSink truth) {
        NoticeLog notices = new NoticeLog(10);
        FrameReader reader = new FrameReader(
                new FrameReader.Options(null, Double.NaN, scenario.recorder().tickPicos()), 0, notices);
        Simulations.run(scenario, reader, truth);
        return new AnalysisReading(scenario.info(), scenario.recorder().line(), null, false, reader.finish(),
                notices.kept(), notices.seen());
    }

    Findings findings() {
        return findings;
    }

    Outcome outcome(long seed) {
        List<String> accused = new ArrayList<>();
        int undecided = 0;
        List<Outcome.ClashOutcome> clashes = new ArrayList<>();
        for (RandomBus.Clash clash : bus.clashes()) {
            Outcome.ClashOutcome judged = clash(clash);
            // A second sender whose frames never came, or never got through, leaves a message with one sender.
            if (Math.min(judged.framesA(), judged.framesB()) + judged.headOn() > 0) clashes.add(judged);
        }
        Set<Long> two = clashes.stream().map(c -> c.clash().key()).collect(Collectors.toSet());
        for (MessageFinding message : findings.clashes().messages()) {
            if (two.contains(message.key())) continue;
            if (message.verdict() == Verdict.TWO_SENDERS) accused.add(MessageKey.text(message.key()));
            if (message.verdict() == Verdict.UNDECIDED) undecided++;
        }
        FrameLog frames = findings.frames();
        return new Outcome(seed, bus, findings.bus().load(), frames.size(), frames.size() - frames.wholeCount(),
                findings.clashes().messages().size(), accused,
                findings.clashes().clash() == ClashFindings.Answer.YES, undecided, clashes, null);
    }

    private int node(String name) {
        List<String> names = bus.scenario().nodes().stream().map(n -> n.name()).toList();
        return names.indexOf(name);
    }

    private Outcome.ClashOutcome clash(RandomBus.Clash clash) {
        int a = node(clash.nodeA());
        int b = node(clash.nodeB());
        Separation separation = Separation.of(bus.scenario(), clash, truth, a, b);
        double[] startsA = Separation.starts(truth, clash.key(), a);
        double[] startsB = Separation.starts(truth, clash.key(), b);
        MessageFinding found = findings.clashes().message(clash.key());
        Outcome.Judged judged = found == null ? Outcome.Judged.UNSEEN : switch (found.verdict()) {
            case TWO_SENDERS -> Outcome.Judged.FOUND;
            case UNDECIDED -> Outcome.Judged.UNDECIDED;
            case ONE_SENDER -> Outcome.Judged.MISSED;
        };
        // counts[outside or inside][true A or B][given to each sender; the last for nobody]
        int labels = findings.clashes().senders().size();
        int[][][] counts = new int[2][2][labels + 1];
        FrameLog frames = findings.frames();
        for (int i = 0; i < frames.size(); i++) {
            int t = trueFrame[i];
            if (!frames.isWhole(i) || frames.isRemote(i) || frames.key(i) != clash.key() || t < 0) continue;
            if (truth.node(t) != a && truth.node(t) != b) continue;
            boolean first = truth.node(t) == a;
            double off = nearest(first ? startsB : startsA, truth.startPicos(t) * 1e-12);
            int label = findings.clashes().senderOf(i);
            counts[off < separation.nearSeconds() ? 1 : 0][first ? 0 : 1][label < 0 ? labels : label]++;
        }
        return score(clash, judged, separation, startsA.length, startsB.length, counts, labels);
    }

    /** Gives the two true nodes the two labels that fit most frames. */
    private Outcome.ClashOutcome score(RandomBus.Clash clash, Outcome.Judged judged, Separation separation, int framesA,
                                       int framesB, int[][][] counts, int labels) {
        int best = -1;
        int labelA = labels;
        int labelB = labels;
        for (int x = 0; x < labels; x++) {
            for (int y = 0; y < labels; y++) {
                if (x == y) continue;
                int fits = counts[0][0][x] + counts[1][0][x] + counts[0][1][y] + counts[1][1][y];
                if (fits > best) {
                    best = fits;
                    labelA = x;
                    labelB = y;
                }
            }
        }
        int[] all = new int[2];
        int[] right = new int[2];
        int[] open = new int[2];
        for (int where = 0; where < 2; where++) {
            for (int[] node : counts[where]) for (int count : node) all[where] += count;
            if (labels > 1) right[where] = counts[where][0][labelA] + counts[where][1][labelB];
            open[where] = counts[where][0][labels] + counts[where][1][labels];
        }
        return new Outcome.ClashOutcome(clash, judged, separation, framesA, framesB, truth.headOn(clash.key()), all[0],
                right[0], open[0], all[1], right[1], open[1]);
    }

    private static double nearest(double[] sorted, double at) {
        int i = Arrays.binarySearch(sorted, at);
        if (i >= 0) return 0;
        int after = -i - 1;
        double least = Double.POSITIVE_INFINITY;
        if (after < sorted.length) least = sorted[after] - at;
        if (after > 0) least = Math.min(least, at - sorted[after - 1]);
        return least;
    }
}
