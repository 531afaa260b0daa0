package buswitness.report.check;

import buswitness.plan.CheckState;
import buswitness.plan.CheckState.PartState;
import buswitness.plan.CheckState.StepState;
import buswitness.plan.Entry;
import buswitness.plan.Judgement;
import buswitness.plan.LaterFinding;
import buswitness.plan.Outcome;
import buswitness.plan.Step;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import java.util.ArrayList;
import java.util.List;

/** What screen and sheet say about a check in the same words. */
final class CheckWords {
    /** Said wherever the last hash is printed. */
    static final String CHAIN = "Each entry of the evidence file is chained to the one before it, so an entry that was"
            + " altered, lost or moved is found when the file is read. Whoever can write the file can write it anew from the"
            + " beginning: that shows only against a printed copy of the last hash.";

    private CheckWords() {}

    static String headline(CheckState state) {
        int all = state.steps().size();
        int failed = state.with(Outcome.FAIL).size();
        int undecided = state.with(Outcome.UNDECIDED).size();
        int open = state.with(Outcome.OPEN).size();
        if (failed + undecided + open == 0) {
            return state.outcome() == Outcome.PASS ? "Every step passed."
                    : "Every step passed, but the unit's record is not complete.";
        }
        List<String> parts = new ArrayList<>();
        if (failed > 0) parts.add(Figures.count(failed, "step failed", "steps failed"));
        if (undecided > 0) parts.add(Figures.count(undecided) + (parts.isEmpty() ? undecided == 1 ? " step undecided"
                : " steps undecided" : " undecided"));
        if (open > 0) parts.add(Figures.count(open) + (parts.isEmpty() ? open == 1 ? " step open" : " steps open" : " open"));
        return (failed > 0 ? "Not in order: " : "Not finished: ") + Figures.list(parts) + " of " + Figures.count(all) + ".";
    }

    /** Class for the tone of a verdict: as on the page of {@code prove}. */
    static String tone(Outcome outcome) {
        return switch (outcome) {
            case PASS -> "no";
            case FAIL -> "yes";
            case UNDECIDED, OPEN -> "undecided";
        };
    }

    static ScreenLines.Tone screenTone(Outcome outcome) {
        return switch (outcome) {
            case PASS -> ScreenLines.Tone.GOOD;
            case FAIL -> ScreenLines.Tone.BAD;
            case UNDECIDED, OPEN -> ScreenLines.Tone.OPEN;
        };
    }

    static List<String> unit(CheckState state) {
        List<String> out = new ArrayList<>();
        if (state.serial().isEmpty()) {
            out.add("No unit is named, so this is not fit to go in a box: name it with --unit SERIAL.");
            return out;
        }
        List<String> fields = new ArrayList<>();
        state.fields().forEach((k, v) -> fields.add(PlainText.name(k) + ": " + PlainText.name(v)));
        out.add("Unit " + PlainText.name(state.serial()) + (fields.isEmpty() ? "" : "; " + String.join(", ", fields)) + ".");
        if (!state.missing().isEmpty()) {
            out.add("Not yet told of it: " + Figures.list(state.missing().stream().map(PlainText::name).toList())
                    + " (--set FIELD=VALUE).");
        }
        return out;
    }

    /** What is measured, with its uncertainty; empty where nothing could be. */
    static String measured(Judgement j) {
        if (Double.isNaN(j.measured())) return "";
        boolean millis = j.unit().equals("s") && j.uncertainty() > 0 && Math.abs(j.measured()) < 1;
        double scale = millis ? 1e3 : 1;
        String unit = j.unit().isEmpty() ? "" : "\u00A0" + (millis ? "ms" : PlainText.clean(j.unit()));
        if (!(j.uncertainty() > 0)) return Figures.short3(j.measured()).replace('-', '\u2212') + unit;
        return Figures.withError(j.measured() * scale, j.uncertainty() * scale, false) + unit;
    }

    static String place(Judgement j) {
        if (Double.isNaN(j.fromSeconds())) return "";
        return j.fromSeconds() == j.untilSeconds() ? "at " + Figures.moment(j.fromSeconds())
                : Figures.fixed(j.fromSeconds(), 2) + " to " + Figures.fixed(j.untilSeconds(), 2) + "\u00A0s";
    }

    static String judgement(Judgement j) {
        return PlainText.foreign(j.what()) + ": " + PlainText.foreign(j.expected()) + ": " + j.outcome().text() + "; "
                + PlainText.foreign(j.says()) + (place(j).isEmpty() ? "." : " (" + place(j) + ").");
    }

    /** Where a part's verdict comes from. */
    static String source(Entry.Result r) {
        String when = r.at().replace("T", " ").replace("Z", " UTC");
        String by = r.by().isEmpty() ? " (nobody named)" : " by " + PlainText.name(r.by());
        return switch (r.part()) {
            case RECORDING -> "Judged from the recording " + PlainText.name(r.recording()) + by + ", " + when;
            case READINGS -> "Read off the needle" + by + " (" + PlainText.name(r.recording()) + "), " + when;
            case PERSON -> "Seen" + by + ", " + when;
        };
    }

    /** Who stands for results that name nobody: a sentence, empty where each names somebody. */
    static String nameless(CheckState state) {
        List<String> steps = new ArrayList<>();
        for (StepState s : state.steps()) {
            boolean none = s.parts().stream().anyMatch(p -> p.result() != null && p.stale() == null && p.result().by().isEmpty());
            if (none) steps.add(PlainText.name(s.step().name()));
        }
        return steps.isEmpty() ? "" : "Nobody is named for the recording of " + Figures.list(steps, 12)
                + ": whoever signs stands for " + (steps.size() == 1 ? "it." : "them.");
    }

    /** How to fill what is open. */
    static String howToFill(StepState state) {
        List<String> how = new ArrayList<>();
        for (PartState p : state.parts()) {
            if (p.outcome() != Outcome.OPEN) continue;
            String again = p.stale() != null ? " again, since " + PlainText.clean(p.stale()) + " was changed" : "";
            how.add(switch (p.part()) {
                case RECORDING -> "--recording FILE" + again;
                case PERSON -> "--observed yes|no --by NAME" + again;
                case READINGS -> "--readings FILE --by NAME" + again;
            });
        }
        return String.join("; ", how);
    }

    static String question(Step step) {
        return step.person() == null ? "" : PlainText.foreign(step.person().question());
    }

    static String later(LaterFinding f) {
        String text = PlainText.name(f.step()) + ", " + judgement(f.now());
        String was = f.before() == null ? "" : measured(f.before());
        return text + switch (f.change()) {
            case SAME -> " As recorded" + (was.isEmpty() ? "." : ": then " + was + ".");
            case CHANGED -> " Changed" + (was.isEmpty() ? ": then " + f.before().outcome().text() + "." : ": then " + was
                    + difference(f) + ".");
            case UNCERTAIN -> " Perhaps changed" + (was.isEmpty() ? "." : ": then " + was + difference(f) + ".");
            case NEW -> " The record has nothing of it.";
        };
    }

    private static String difference(LaterFinding f) {
        return f.error() > 0 ? ", a difference of " + Figures.withError(f.difference(), f.error(), true)
                + (f.now().unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(f.now().unit())) : "";
    }
}
