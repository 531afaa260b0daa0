package buswitness.report.finding;

import buswitness.Findings;
import buswitness.Version;
import buswitness.clashes.Alternative;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.Collision;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.frames.MessageKey;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.problem.Notice;
import buswitness.report.parts.BusWords;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.FindingWords;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.Shapes;
import buswitness.schema.BusFormats;
import gg.jte.Content;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/** Findings as the sentences and rows of the page; what is left out for length is counted and said. */
final class PageText {
    private static final int MOST_CASES = 24;
    private static final int MOST_EVIDENCE = 12;
    private static final int MOST_ROWS = 250;
    private static final int MOST_NOTICES = 20;
    private static final int MOST_BITS = 3;

    private final Findings findings;
    private final Names names;
    private final Summary summary;
    private final DetailPlan plan;
    private final List<Sentence> hidden = new ArrayList<>();

    PageText(Findings findings, Names names, DetailPlan plan) {
        this.findings = findings;
        this.names = names;
        this.plan = plan;
        summary = new Summary(findings, names);
    }

    PageModel model(String policy, Content style, Content facts, Content script) {
        String file = PlainText.clean(findings.recording().source());
        String tone = findings.clashes().clash().name().toLowerCase(Locale.ROOT);
        List<BitsPicture> bits = bits();
        return new PageModel(policy, style, facts, script, summary.headline() + " " + file,
                new Sentence(PlainText.name(findings.recording().source())), tone,
                new Sentence(summary.headline()), plain(),
                CloseUpDrawing.of(findings, names, summary), remedies(), sentences(summary.otherCures()), wanted(),
                sentences(Cautions.ALL), findings.frames().size() > 0, new Sentence(detail()), bits,
                moreCollisions(bits.size()), ClockPicture.of(findings.clashes().senders()), senders(),
                sentences(findings.clashes().references().stream().map(r -> ScreenReport.reference(r, names)).toList()), cases(),
                messages(), instruments(), recording(), notices(), hidden);
    }

    private static List<Sentence> sentences(List<String> texts) {
        return texts.stream().map(Sentence::new).toList();
    }

    private List<PageModel.Plain> plain() {
        return summary.plain().stream().map(s -> {
            String lead = Summary.LEADS.stream().filter(s::startsWith).findFirst().orElse("");
            return new PageModel.Plain(lead, new Sentence(s.substring(lead.length())));
        }).toList();
    }

    private List<PageModel.RemedyText> remedies() {
        return Remedies.of(findings, names).stream().map(r -> new PageModel.RemedyText(new Sentence(r.action()),
                new Sentence(r.effect()), new Sentence(r.mind()))).toList();
    }

    private List<PageModel.Item> wanted() {
        if (findings.clashes().clash() != Answer.UNDECIDED) return List.of();
        return summary.undecided().stream().filter(m -> m.wanted() != null).limit(MOST_CASES)
                .map(m -> new PageModel.Item(new Sentence(names.message(m.key())),
                        new Sentence(PlainText.foreign(m.wanted())))).toList();
    }

    private String detail() {
        if (plan.everything()) return "Every frame of the recording is drawn.";
        double all = 0;
        for (double[] w : plan.windows()) all += w[1] - w[0];
        return "The recording is too long to draw whole. Every frame is drawn in "
                + Figures.count(plan.windows().size(), "stretch", "stretches") + " of " + Figures.span(all)
                + " in all, around collisions and reversals and in an even sample of the calm between; the bar below"
                + " the"
                + " times shows where. Elsewhere frames are counted by sender, and values keep their smallest, their"
                + " largest and every reversal; where reversals come too thick to draw one by one, a hatched block"
                + " spans them and says how many they are.";
    }

    /** The first collision of each message and break bit, for the rest look alike. */
    private List<BitsPicture> bits() {
        Set<String> seen = new HashSet<>();
        List<BitsPicture> out = new ArrayList<>();
        for (Collision c : findings.clashes().collisions()) {
            if (out.size() < MOST_BITS && c.onWire() != null && seen.add(c.key() + "/" + c.breakBit())) {
                out.add(BitsPicture.of(c, findings.bus().coding(), BusFormats.of(findings.bus().coding(),
                        findings.layout()), findings.frames(), names));
            }
        }
        return out;
    }

    private Sentence moreCollisions(int drawn) {
        int all = findings.clashes().collisions().size();
        return new Sentence(all == 0 ? "" : all == drawn ? "" : "In all there are " + Figures.count(all, "such burst",
                "such bursts") + "; one of each kind is shown. The timelines mark them all.");
    }

    private List<PageModel.SenderRow> senders() {
        List<PageModel.SenderRow> rows = new ArrayList<>();
        List<Sender> all = findings.clashes().senders();
        Set<Integer> involved = summary.involved();
        for (int i = 0; i < Math.min(MOST_ROWS, all.size()); i++) {
            Sender s = all.get(i);
            String clock = Double.isNaN(s.clockPpm()) ? "unknown"
                    : Figures.withError(s.clockPpm(), s.clockPpmError(), true) + "\u00A0ppm";
            String level = LevelText.of(findings, i);
            rows.add(new PageModel.SenderRow(Shapes.style(i), Shapes.path(i, 8, 8, 5), new Sentence(names.sender(i)),
                    clock, new Sentence(Figures.list(names.messages(s.keys()), 16)
                    + (level.isEmpty() ? "" : "; " + level) + kin(i, involved)), involved.contains(i)));
        }
        leftOut(all.size(), MOST_ROWS, "sender", "senders");
        return rows;
    }

    private String kin(int sender, Set<Integer> involved) {
        String kin = involved.contains(sender) ? names.kin(sender, summary.clashingKeys()) : "";
        return kin.isEmpty() ? "" : ". " + kin;
    }

    private List<PageModel.Case> cases() {
        List<MessageFinding> all = new ArrayList<>(summary.clashing());
        all.addAll(summary.undecided());
        for (MessageFinding m : findings.clashes().messages()) {
            if (m.verdict() == Verdict.ONE_SENDER && m.alternatives().stream()
                    .anyMatch(a -> a.standing() == Alternative.Standing.FOUND)) all.add(m);
        }
        leftOut(all.size(), MOST_CASES, "message with its evidence", "messages with their evidence");
        return all.subList(0, Math.min(MOST_CASES, all.size())).stream().map(this::caseOf).toList();
    }

    private PageModel.Case caseOf(MessageFinding m) {
        String counts = Figures.count(m.frames(), "whole frame", "whole frames")
                + (m.damaged() > 0 ? ", " + Figures.count(m.damaged()) + " damaged" : "")
                + (m.senders().isEmpty() ? "" : "; sent by " + Figures.list(names.senders(m.senders()), 6))
                + ". " + FindingWords.evidence(m);
        List<Sentence> schedules = m.schedules().stream().limit(6).map(s -> new Sentence(PlainText.capital(
                names.sender(s.sender())) + ": " + ScreenReport.schedule(s) + ".")).toList();
        List<PageModel.EvidenceRow> evidence = m.evidence().stream().limit(MOST_EVIDENCE).map(PageText::evidence)
                .toList();
        List<PageModel.AblatedRow> ablation = m.ablation().stream().map(a -> new PageModel.AblatedRow(a.without().text(),
                a.verdict().text(), tone(a.verdict()), Figures.fixed(a.strength(), 1))).toList();
        List<PageModel.Other> others = m.alternatives().stream().limit(MOST_EVIDENCE).map(a -> new PageModel.Other(
                new Sentence(PlainText.foreign(a.explanation())), a.standing().name().toLowerCase(Locale.ROOT),
                new Sentence(PlainText.foreign(a.because())))).toList();
        return new PageModel.Case(new Sentence(names.message(m.key())), FindingWords.verdict(m), tone(m.verdict()),
                new Sentence(counts), schedules, evidence, ablation, others,
                m.wanted() == null ? null : new Sentence(PlainText.foreign(m.wanted())));
    }

    private static String tone(Verdict verdict) {
        return switch (verdict) {
            case TWO_SENDERS -> "yes";
            case ONE_SENDER -> "no";
            case UNDECIDED -> "undecided";
        };
    }

    private static PageModel.EvidenceRow evidence(Evidence e) {
        return new PageModel.EvidenceRow(PlainText.capital(e.kind().text()), FindingWords.looksAt(e.kind()), e.conclusive(),
                new Sentence(PlainText.foreign(e.says())), Figures.fixed(e.strength(), 1),
                Figures.fixed(e.fromSeconds(), 2) + " to " + Figures.fixed(e.untilSeconds(), 2) + "\u00A0s");
    }

    private List<PageModel.MessageRow> messages() {
        List<MessageFinding> all = findings.clashes().messages();
        leftOut(all.size(), MOST_ROWS, "message", "messages");
        return all.subList(0, Math.min(MOST_ROWS, all.size())).stream().map(m -> new PageModel.MessageRow(
                new Sentence(names.message(m.key())), Figures.count(m.frames()), Figures.count(m.damaged()),
                new Sentence(m.senders().isEmpty() ? "not settled" : Figures.list(names.senders(m.senders()), 6)),
                FindingWords.verdict(m), Figures.fixed(m.strength(), 1))).toList();
    }

    private List<PageModel.InstrumentRow> instruments() {
        List<InstrumentFinding> all = findings.instruments().instruments();
        leftOut(all.size(), MOST_ROWS, "instrument", "instruments");
        return all.subList(0, Math.min(MOST_ROWS, all.size())).stream().map(i -> new PageModel.InstrumentRow(
                new Sentence(PlainText.name(i.name())), new Sentence(PlainText.name(i.signal()) + " from "
                + names.message(i.key())), new Sentence(PlainText.capital(ScreenReport.instrument(i))),
                i.symptom() != Symptom.NONE)).toList();
    }

    private List<PageModel.Item> recording() {
        List<PageModel.Item> items = new ArrayList<>();
        items.add(item("Recording", PlainText.name(findings.recording().source())));
        if (!findings.recording().sha256().isEmpty()) items.add(item("SHA-256", findings.recording().sha256()));
        items.add(item("What was read", ScreenReport.recordingSentence(findings)));
        for (String note : ScreenReport.notes(findings)) items.add(item("Note", PlainText.name(note)));
        if (findings.layout() != null) items.add(item("Layout", PlainText.name(findings.layout().source())));
        int unnamed = 0;
        for (int i = 0; i < findings.frames().size(); i++) {
            if (findings.frames().key(i) == MessageKey.UNKNOWN) unnamed++;
        }
        if (unnamed > 0) {
            items.add(item("Beyond reading", Figures.count(unnamed, "damaged stretch", "damaged stretches")
                    + " too short to tell which message it was."));
        }
        if (findings.bus().glitches() > 0) {
            items.add(item("Spikes", Figures.count(findings.bus().glitches(), "pulse", "pulses")
                    + " too short to be a bit, left out and counted."));
        }
        items.add(item("Made by", "Buswitness " + Version.text() + ", which only listens and never transmits"));
        return items;
    }

    private static PageModel.Item item(String name, String text) {
        return new PageModel.Item(new Sentence(name), new Sentence(text));
    }

    private List<Sentence> notices() {
        List<Sentence> out = new ArrayList<>();
        for (Gap g : findings.gaps().subList(0, Math.min(MOST_NOTICES, findings.gaps().size()))) {
            out.add(new Sentence(BusWords.gap(g) + "."));
        }
        leftOut(findings.gaps().size(), MOST_NOTICES, "gap", "gaps");
        List<Mark> marks = findings.marks();
        for (Mark m : marks.subList(0, Math.min(MOST_NOTICES, marks.size()))) {
            out.add(new Sentence(BusWords.mark(m) + "."));
        }
        leftOut(marks.size(), MOST_NOTICES, "mark", "marks");
        List<Notice> notices = findings.notices();
        int shown = Math.min(MOST_NOTICES, notices.size());
        for (Notice n : notices.subList(0, shown)) {
            out.add(new Sentence(PlainText.foreign(n.place().describe()) + ": " + PlainText.foreign(n.says())));
        }
        if (findings.noticesSeen() > shown) {
            hidden.add(new Sentence(Figures.count(findings.noticesSeen() - shown, "more notice", "more notices")));
        }
        return out;
    }

    private void leftOut(int all, int most, String one, String many) {
        if (all > most) hidden.add(new Sentence(Figures.count(all - most, one, many)));
    }
}
