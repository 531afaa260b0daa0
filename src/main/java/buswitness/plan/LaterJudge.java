package buswitness.plan;

import buswitness.AnalysisOptions;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.stats.Normal;
import java.util.ArrayList;
import java.util.List;

/**
 * Holds a recording that a customer sends later against the unit's record: each judgement anew, and whether its value
 * moved by more than both uncertainties explain. All comparisons share one risk of a false alarm (Bonferroni).
 */
final class LaterJudge {
    /** Chance that any of the comparisons calls a change where there is none. */
    private static final double RISK = 0.01;
    private static final double PERHAPS = 0.05;

    private final CheckState state;

    LaterJudge(CheckState state) {
        this.state = state;
    }

    private record Pair(String step, Judgement before, Judgement now) {
        boolean measured() {
            return before != null && before.unit().equals(now.unit()) && !Double.isNaN(difference()) && error() > 0;
        }

        double difference() {
            return before == null ? Double.NaN : now.measured() - before.measured();
        }

        double error() {
            return Math.hypot(now.uncertainty(), before.uncertainty());
        }
    }

    /** @param named the user chose the steps: then each must fit; else those are taken that do */
    List<LaterFinding> judge(List<Step> steps, boolean named, AnalysisOptions options, Progress progress) {
        List<String> lines = Recordings.open(options.recording(), options.read()).info().lines();
        List<Step> able = named ? steps : steps.stream().filter(s -> StepReader.hasLines(s, lines)).toList();
        List<Pair> pairs = new ArrayList<>();
        for (PlanBus bus : state.plan().buses()) {
            List<Step> here = able.stream().filter(s -> s.bus().equals(bus)).toList();
            boolean recorded = state.plan().buses().size() == 1 || bus.line() == null || lines.contains(bus.line());
            if (here.isEmpty() || !named && !recorded) continue;
            StepRecording recording = StepReader.read(bus, here, options, progress);
            for (Step step : here) {
                if (!named && !(speaks(step) && StepJudge.fits(step, recording))) continue;
                List<Judgement> before = before(step);
                for (Judgement now : StepJudge.judge(step, recording)) {
                    pairs.add(new Pair(step.name(), match(before, now), now));
                }
            }
        }
        if (pairs.isEmpty()) {
            throw new InputFault(Place.file(options.recording().toString()), "fits no step of the plan: it has none of "
                    + "their marks", "name a step with --step");
        }
        long tests = Math.max(1, pairs.stream().filter(Pair::measured).count());
        return pairs.stream().map(p -> finding(p, tests)).toList();
    }

    /** A window in plain seconds means nothing on another recording. */
    private static boolean speaks(Step step) {
        Window w = step.window();
        return w.equals(Window.ALL) || w.fromMark() != null;
    }

    private List<Judgement> before(Step step) {
        for (CheckState.PartState p : state.step(step.name()).parts()) {
            if (p.part() == Step.Part.RECORDING && p.result() != null && p.stale() == null) return p.result().judgements();
        }
        return List.of();
    }

    private static Judgement match(List<Judgement> before, Judgement now) {
        for (Judgement j : before) if (j.what().equals(now.what()) && j.expected().equals(now.expected())) return j;
        return null;
    }

    private static LaterFinding finding(Pair p, long tests) {
        if (p.before == null) {
            return new LaterFinding(p.step, null, p.now, Double.NaN, Double.NaN, LaterFinding.Change.NEW);
        }
        if (!p.measured()) {
            boolean same = p.before.outcome() == p.now.outcome();
            boolean sure = p.now.outcome() != Outcome.UNDECIDED && p.before.outcome() != Outcome.UNDECIDED;
            return new LaterFinding(p.step, p.before, p.now, p.difference(), 0, same ? LaterFinding.Change.SAME
                    : sure ? LaterFinding.Change.CHANGED : LaterFinding.Change.UNCERTAIN);
        }
        double z = Math.abs(p.difference()) / p.error();
        double chance = Math.min(1, tests * 2 * Normal.between(z, Double.POSITIVE_INFINITY));
        // What was sure then and is not now is no agreement, however wide the new uncertainty.
        boolean doubt = p.now.outcome() == Outcome.UNDECIDED && p.before.outcome() != Outcome.UNDECIDED;
        return new LaterFinding(p.step, p.before, p.now, p.difference(), p.error(), chance < RISK
                ? LaterFinding.Change.CHANGED : chance < PERHAPS || doubt ? LaterFinding.Change.UNCERTAIN
                : LaterFinding.Change.SAME);
    }
}
