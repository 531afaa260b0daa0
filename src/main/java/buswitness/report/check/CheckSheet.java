package buswitness.report.check;

import buswitness.Version;
import buswitness.plan.CheckState;
import buswitness.plan.CheckState.PartState;
import buswitness.plan.CheckState.StepState;
import buswitness.plan.Entry;
import buswitness.plan.Judgement;
import buswitness.plan.Outcome;
import buswitness.plan.PlanBus;
import buswitness.plan.Step;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.WebPage;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** The sign-off sheet: one file, no script, prints on A4, ready to go in the box. */
final class CheckSheet {
    private CheckSheet() {}

    static void write(CheckState state, OutputStream out) throws IOException {
        String style = WebPage.resource("page.css") + WebPage.resource("sheet.css");
        StringOutput page = new StringOutput();
        TemplateEngine.createPrecompiled(ContentType.Html).render("sheet.jte", model(state, style), page);
        out.write(page.toString().getBytes(StandardCharsets.UTF_8));
        out.flush();
    }

    private static SheetModel model(CheckState state, String style) {
        List<SheetModel.Group> groups = new ArrayList<>();
        group(groups, state, "Failed", Outcome.FAIL);
        group(groups, state, "Undecided", Outcome.UNDECIDED);
        group(groups, state, "Open", Outcome.OPEN);
        group(groups, state, "Passed", Outcome.PASS);
        String title = "Sign-off sheet" + (state.serial().isEmpty() ? "" : ", unit " + PlainText.clean(state.serial()));
        return new SheetModel(WebPage.policy(style, ""), WebPage.element("<style>", style, "</style>"), title,
                CheckWords.tone(state.outcome()), new Sentence(CheckWords.headline(state)),
                new Sentence(PlainText.foreign(state.plan().title()) + (state.plan().harness().isEmpty() ? "" : ", "
                        + PlainText.foreign(state.plan().harness()))), unit(state), notices(state), groups,
                sentences(state.plan().doesNotDo()), cautions(state), new Sentence(CheckWords.CHAIN),
                state.evidence().entries().isEmpty() ? "" : state.evidence().lastHash(), evidence(state),
                state.outcome() == Outcome.PASS);
    }

    private static void group(List<SheetModel.Group> groups, CheckState state, String title, Outcome outcome) {
        List<StepState> steps = state.with(outcome);
        if (steps.isEmpty()) return;
        groups.add(new SheetModel.Group(title + ": " + Figures.count(steps.size(), "step", "steps"), outcome.text(),
                steps.stream().map(CheckSheet::row).toList()));
    }

    private static SheetModel.Row row(StepState s) {
        List<SheetModel.Part> parts = new ArrayList<>();
        for (PartState p : s.parts()) if (p.result() != null) parts.add(part(p));
        String how = CheckWords.howToFill(s);
        String open = how.isEmpty() ? "" : "Open: " + String.join(" and ", s.parts().stream()
                .filter(p -> p.outcome() == Outcome.OPEN).map(CheckSheet::lacks).toList()) + ".";
        String question = s.step().person() == null || s.parts().stream()
                .noneMatch(p -> p.outcome() == Outcome.OPEN && p.part() == Step.Part.PERSON) ? ""
                : " " + CheckWords.question(s.step());
        return new SheetModel.Row(new Sentence(PlainText.foreign(s.step().name())), s.step().stage().text()
                + (s.step().bus().name().isEmpty() ? "" : ", " + PlainText.clean(s.step().bus().name())),
                s.outcome().text(), CheckWords.tone(s.outcome()), new Sentence(PlainText.foreign(s.step().todo())),
                new Sentence(PlainText.foreign(s.step().see())), sentences(s.step().cautions()), parts,
                new Sentence(open + question));
    }

    private static String lacks(PartState p) {
        String what = switch (p.part()) {
            case RECORDING -> "no recording has been judged";
            case PERSON -> "nobody has looked";
            case READINGS -> "nobody has read the needle";
        };
        return p.stale() != null ? what + " since " + PlainText.clean(p.stale()) + " was changed" : what;
    }

    private static SheetModel.Part part(PartState p) {
        Entry.Result r = p.result();
        String source = CheckWords.source(r) + (p.stale() == null ? ""
                : ", before " + PlainText.clean(p.stale()) + " was changed: no longer counts");
        return new SheetModel.Part(new Sentence(source + "."), r.sha256(),
                new Sentence(r.note().isEmpty() ? "" : "Note: " + PlainText.foreign(r.note())),
                r.judgements().stream().map(CheckSheet::seen).toList());
    }

    private static SheetModel.Seen seen(Judgement j) {
        return new SheetModel.Seen(new Sentence(PlainText.foreign(j.what())), new Sentence(PlainText.foreign(j.expected())),
                CheckWords.measured(j), j.outcome().text(), CheckWords.tone(j.outcome()), CheckWords.place(j),
                new Sentence(PlainText.capital(PlainText.foreign(j.says())) + "."));
    }

    private static List<SheetModel.Item> unit(CheckState state) {
        List<SheetModel.Item> items = new ArrayList<>();
        items.add(item("Serial", state.serial().isEmpty() ? "not named" : state.serial()));
        state.fields().forEach((k, v) -> items.add(item(k, v)));
        for (String missing : state.missing()) items.add(item(missing, "not told"));
        return items;
    }

    private static List<Sentence> notices(CheckState state) {
        List<Sentence> out = new ArrayList<>();
        Set<String> testers = new LinkedHashSet<>();
        String first = null;
        String last = null;
        for (StepState s : state.steps()) {
            for (PartState p : s.parts()) {
                if (p.result() == null || p.stale() != null) continue;
                if (!p.result().by().isEmpty()) testers.add(PlainText.name(p.result().by()));
                String at = p.result().at().substring(0, Math.min(10, p.result().at().length()));
                if (first == null || at.compareTo(first) < 0) first = at;
                if (last == null || at.compareTo(last) > 0) last = at;
            }
        }
        if (first != null) {
            out.add(new Sentence("Tested " + (first.equals(last) ? "on " + first : "from " + first + " to " + last)
                    + (testers.isEmpty() ? "" : " by " + Figures.list(List.copyOf(testers))) + "."));
        }
        String nameless = CheckWords.nameless(state);
        if (!nameless.isEmpty()) out.add(new Sentence(nameless));
        if (state.serial().isEmpty()) {
            out.add(new Sentence("No unit is named: this sheet belongs to no box."));
        }
        out.add(new Sentence("A measured value stands with its standard uncertainty. A step passes where the value lies inside"
                + " its limits by twice that, fails where it lies outside by as much, and is undecided between."));
        return out;
    }

    private static List<Sentence> cautions(CheckState state) {
        Set<String> all = new LinkedHashSet<>();
        for (String c : state.plan().cautions()) all.add(PlainText.foreign(c));
        all.addAll(Cautions.ALL);
        return all.stream().map(Sentence::new).toList();
    }

    private static List<SheetModel.Item> evidence(CheckState state) {
        List<SheetModel.Item> items = new ArrayList<>();
        items.add(item("Evidence file", state.evidence().file().getFileName() + ", "
                + Figures.count(state.evidence().entries().size(), "entry", "entries")));
        items.add(item("Plan", state.plan().title()));
        for (PlanBus b : state.plan().buses()) {
            items.add(item("Layout" + (b.name().isEmpty() ? "" : " of the " + b.name()),
                    String.valueOf(b.layoutFile().getFileName())));
        }
        items.add(item("Made by", "Buswitness " + Version.text() + ", which only listens and never transmits"));
        return items;
    }

    private static SheetModel.Item item(String name, String text) {
        return new SheetModel.Item(new Sentence(PlainText.capital(PlainText.foreign(name))), new Sentence(PlainText.foreign(text)));
    }

    private static List<Sentence> sentences(List<String> texts) {
        return texts.stream().map(t -> new Sentence(PlainText.foreign(t))).toList();
    }
}
