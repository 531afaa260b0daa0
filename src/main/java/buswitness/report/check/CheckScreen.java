package buswitness.report.check;

import buswitness.plan.CheckState;
import buswitness.plan.CheckState.PartState;
import buswitness.plan.CheckState.StepState;
import buswitness.plan.Judgement;
import buswitness.plan.LaterFinding;
import buswitness.plan.Outcome;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import java.io.PrintStream;
import java.util.List;

/** A check for a terminal: what failed and what is open first. */
final class CheckScreen {
    private final CheckState state;
    private final ScreenLines lines;

    CheckScreen(CheckState state, PrintStream out, ScreenStyle style) {
        this.state = state;
        lines = new ScreenLines(out, style);
    }

    /** @param filled name of the step that was just filled, shown first; or null */
    void write(String filled) {
        if (filled != null) {
            StepState step = state.step(filled);
            lines.paragraph(0, 0, CheckWords.screenTone(step.outcome()), PlainText.capital(PlainText.name(filled)) + ": "
                    + step.outcome().text() + ".");
            detail(step);
            if (step.outcome() == Outcome.OPEN) lines.under("Still open: " + CheckWords.howToFill(step));
            for (String c : step.step().cautions()) lines.under("Mind: " + PlainText.foreign(c));
            lines.blank();
        }
        lines.paragraph(0, 0, CheckWords.screenTone(state.outcome()), CheckWords.headline(state));
        lines.text(PlainText.name(state.plan().title()) + (state.plan().harness().isEmpty() ? "" : "; "
                + PlainText.name(state.plan().harness())) + ".");
        for (String s : CheckWords.unit(state)) lines.text(s);
        String nameless = CheckWords.nameless(state);
        if (!nameless.isEmpty()) lines.text(nameless + " Name somebody with --by NAME.");
        if (filled == null) {
            group("Failed", Outcome.FAIL);
            group("Undecided", Outcome.UNDECIDED);
            group("Open", Outcome.OPEN);
            group("Passed", Outcome.PASS);
            mind();
        }
        evidence(filled == null);
    }

    private void group(String title, Outcome outcome) {
        List<StepState> steps = state.with(outcome);
        if (steps.isEmpty()) return;
        lines.heading(title);
        for (StepState s : steps) {
            String text = PlainText.name(s.step().name()) + " (" + s.step().stage().text() + ")";
            if (outcome == Outcome.PASS) {
                lines.item(text);
            } else {
                lines.item(text + ": " + PlainText.foreign(s.step().todo()));
                if (outcome != Outcome.OPEN) detail(s);
                String how = CheckWords.howToFill(s);
                if (!how.isEmpty()) lines.under("To do: " + how + (CheckWords.question(s.step()).isEmpty() ? "" : " ("
                        + CheckWords.question(s.step()) + ")"));
            }
        }
    }

    private void detail(StepState s) {
        for (PartState p : s.parts()) {
            if (p.result() == null) continue;
            lines.under(CheckWords.source(p.result()) + (p.stale() == null ? ""
                    : "; judged before " + PlainText.clean(p.stale()) + " was changed")
                    + ".");
            for (Judgement j : p.result().judgements()) lines.item(CheckWords.judgement(j));
        }
    }

    private void mind() {
        lines.heading("Mind");
        for (String c : state.plan().cautions()) lines.item(PlainText.foreign(c));
        for (StepState s : state.steps()) {
            if (s.outcome() == Outcome.PASS) continue;
            for (String c : s.step().cautions()) lines.item(PlainText.name(s.step().name()) + ": " + PlainText.foreign(c));
        }
        for (String c : Cautions.ALL) lines.item(c);
    }

    private void evidence(boolean whole) {
        lines.heading("Evidence");
        int n = state.evidence().entries().size();
        lines.text(PlainText.name(state.evidence().file().toString()) + ": " + (n == 0 ? "nothing yet."
                : Figures.count(n, "entry", "entries") + ", chain in order, last hash " + state.evidence().lastHash() + "."));
        if (whole) lines.text(CheckWords.CHAIN);
    }

    /** A later recording beside the unit's record. */
    static void later(List<LaterFinding> findings, CheckState state, String recording, PrintStream out, ScreenStyle style) {
        ScreenLines lines = new ScreenLines(out, style);
        long changed = findings.stream().filter(f -> f.change() == LaterFinding.Change.CHANGED).count();
        long failed = findings.stream().filter(f -> f.now().outcome() == Outcome.FAIL).count();
        long unsure = findings.stream().filter(f -> f.change() == LaterFinding.Change.UNCERTAIN
                || f.now().outcome() == Outcome.UNDECIDED).count();
        String head = changed + failed == 0 ? unsure == 0 ? "This recording agrees with the record of unit "
                : "This recording does not tell everything about unit " : "This recording differs from the record of unit ";
        lines.paragraph(0, 0, changed + failed > 0 ? ScreenLines.Tone.BAD : unsure > 0 ? ScreenLines.Tone.OPEN
                : ScreenLines.Tone.GOOD, head + PlainText.name(state.serial()) + ".");
        lines.text(PlainText.name(recording) + ": " + Figures.count(findings.size(), "judgement", "judgements") + ", "
                + Figures.count(failed) + " failed, " + Figures.count(changed) + " changed, " + Figures.count(unsure)
                + " undecided. A change is called one where both uncertainties together explain it less than once in a hundred"
                + " such comparisons of a whole recording.");
        lines.heading("Judged by the unit's plan");
        for (LaterFinding f : findings) lines.item(CheckWords.later(f));
        lines.heading("Evidence");
        lines.text("Nothing was added to " + PlainText.name(state.evidence().file().toString()) + ". " + CheckWords.CHAIN);
        lines.heading("Mind");
        for (String c : Cautions.ALL) lines.item(c);
    }
}
