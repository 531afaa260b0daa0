package buswitness.plan;

import java.util.ArrayList;
import java.util.List;

/** Judges one step from one recording. */
final class StepJudge {
    private StepJudge() {}

    static boolean fits(Step step, StepRecording recording) {
        return Span.fits(step.window(), recording)
                && (step.calibration() == null || new CalibrationJudge(step.calibration()).fits(recording));
    }

    static List<Judgement> judge(Step step, StepRecording recording) {
        Span span = Span.of(step.window(), recording);
        List<Judgement> out = new ArrayList<>();
        for (Criterion c : step.criteria()) {
            if (!(c instanceof Criterion.Person)) out.addAll(judge(c, recording, span));
        }
        if (step.calibration() != null && step.parts().contains(Step.Part.RECORDING)) {
            out.addAll(new CalibrationJudge(step.calibration()).recorded(recording));
        }
        return out;
    }

    private static List<Judgement> judge(Criterion criterion, StepRecording recording, Span span) {
        if (criterion instanceof Criterion.LineFollows c) return new LineJudge(recording, span).follows(c);
        SignalJudge signals = new SignalJudge(recording, span);
        if (criterion instanceof Criterion.Between c) return List.of(signals.between(c));
        if (criterion instanceof Criterion.Moves c) return List.of(signals.moves(c));
        if (criterion instanceof Criterion.Follows c) return signals.follows(c);
        if (criterion instanceof Criterion.Counts c) return List.of(signals.counts(c));
        SwitchJudge switches = new SwitchJudge(recording, span);
        if (criterion instanceof Criterion.Is c) return List.of(switches.is(c));
        if (criterion instanceof Criterion.Blinks c) return List.of(switches.blinks(c));
        if (criterion instanceof Criterion.Turns c) return List.of(switches.turns(c));
        BusJudge bus = new BusJudge(recording, span);
        if (criterion instanceof Criterion.Every c) return List.of(bus.every(c));
        if (criterion instanceof Criterion.OneSender c) return List.of(bus.oneSender(c));
        if (criterion instanceof Criterion.NoDamage) return List.of(bus.noDamage());
        if (criterion instanceof Criterion.NothingFlaps c) return List.of(bus.nothingFlaps(c));
        if (criterion instanceof Criterion.FallsSilent c) return List.of(bus.fallsSilent(c));
        return List.of(new RestartJudge(recording, span).judge());
    }
}
