package buswitness.report.finding;

import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import buswitness.clashes.Alternative;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.Collision;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.ReferenceFinding;
import buswitness.clashes.Schedule;
import buswitness.clashes.Sender;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.instruments.InstrumentFinding;
import buswitness.problem.Notice;
import buswitness.report.parts.BusWords;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.FindingWords;
import buswitness.report.parts.MetWords;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import java.io.PrintStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** The report for a terminal: the verdict in plain words, then what it rests on. */
final class ScreenReport {
    private static final int MOST_MESSAGES = 12;
    private static final int MOST_COLLISIONS = 6;
    private static final int MOST_NOTICES = 8;
    private static final Set<String> VOLTAGES = Set.of("WAV", "CSV of voltages");
    private static final int MOST_MARKS = 20;

    private final Findings findings;
    private final Names names;
    private final Summary summary;
    private final ScreenLines lines;

    ScreenReport(Findings findings, PrintStream out, ScreenStyle style) {
        this.findings = findings;
        names = new Names(findings);
        summary = new Summary(findings, names);
        lines = new ScreenLines(out, style);
    }

    void write() {
        Answer answer = findings.clashes().clash();
        lines.paragraph(0, 0, answer == Answer.YES ? ScreenLines.Tone.BAD
                : answer == Answer.NO ? ScreenLines.Tone.GOOD : ScreenLines.Tone.OPEN, summary.headline());
        for (String sentence : summary.plain()) lines.text(sentence);
        senders();
        references();
        messages();
        instruments();
        whatToDo();
        lines.heading("Mind");
        for (String caution : Cautions.ALL) lines.item(caution);
        recording();
    }

    private void senders() {
        List<Sender> all = findings.clashes().senders();
        if (all.isEmpty()) return;
        lines.heading("Who sends");
        Set<Integer> involved = summary.involved();
        boolean clock = all.stream().anyMatch(s -> !Double.isNaN(s.clockPpm()));
        if (clock) {
            lines.text("A sender is known by its clock: how far it runs from nominal, in parts per million (ppm),"
                    + " give or take one standard error. Units whose clocks agree by chance are taken for one.");
        }
        for (int i = 0; i < all.size(); i++) {
            Sender s = all.get(i);
            String clockText = Double.isNaN(s.clockPpm()) ? "clock unknown"
                    : "clock " + Figures.withError(s.clockPpm(), s.clockPpmError(), true) + "\u00A0ppm";
            String level = LevelText.of(findings, i);
            lines.item(names.sender(i) + ": " + clockText + (level.isEmpty() ? "" : "; " + level) + "; sends "
                    + Figures.list(names.messages(s.keys()), MOST_MESSAGES) + "."
                    + (involved.contains(i) ? " Part of the clash. " + names.kin(i, summary.clashingKeys()) : ""));
        }
    }

    private void references() {
        if (findings.clashes().references().isEmpty()) return;
        lines.heading("With a node unplugged");
        for (ReferenceFinding r : findings.clashes().references()) lines.item(reference(r, names));
    }

    static String reference(ReferenceFinding r, Names names) {
        return "Without the " + PlainText.name(r.node()) + " (" + PlainText.name(r.source()) + "): "
                + (r.sender() >= 0 ? "it is sender " + names.label(r.sender()) + ". " : "not settled which sender it is. ")
                + PlainText.foreign(String.join(" ", r.says()));
    }

    private void messages() {
        List<MessageFinding> shown = new ArrayList<>(summary.clashing());
        shown.addAll(summary.undecided());
        if (shown.isEmpty()) {
            evidenceForOneSender();
            return;
        }
        lines.heading("Which messages, how sure and why");
        lines.text(FindingWords.STRENGTH_MEANS);
        for (MessageFinding m : shown.subList(0, Math.min(MOST_MESSAGES, shown.size()))) message(m);
        if (shown.size() > MOST_MESSAGES) {
            lines.item(Figures.count(shown.size() - MOST_MESSAGES) + " more messages; --json FILE lists them all.");
        }
        collisions();
    }

    private void evidenceForOneSender() {
        List<MessageFinding> found = findings.clashes().messages().stream().filter(m -> m.alternatives().stream()
                .anyMatch(a -> a.standing() == Alternative.Standing.FOUND)).limit(MOST_MESSAGES).toList();
        if (found.isEmpty()) return;
        lines.heading("What was found instead");
        Map<String, List<Long>> said = new LinkedHashMap<>();
        for (MessageFinding m : found) {
            for (Alternative a : m.alternatives()) {
                if (a.standing() != Alternative.Standing.FOUND) continue;
                String text = PlainText.foreign(a.explanation()) + ". " + PlainText.foreign(a.because());
                said.computeIfAbsent(text, t -> new ArrayList<>()).add(m.key());
            }
        }
        said.forEach((text, keys) -> lines.item(Figures.list(names.messages(keys), MOST_MESSAGES) + ": " + text));
    }

    private void message(MessageFinding m) {
        lines.item(names.message(m.key()) + ": " + FindingWords.verdict(m)
                + (m.senders().isEmpty() ? "" : ", " + Figures.list(names.senders(m.senders()), 6)) + "; "
                + Figures.count(m.frames(), "whole frame", "whole frames")
                + (m.damaged() > 0 ? ", " + Figures.count(m.damaged()) + " damaged" : "") + ". "
                + FindingWords.evidence(m));
        for (Schedule s : m.schedules().subList(0, Math.min(6, m.schedules().size()))) {
            lines.under(PlainText.capital(names.sender(s.sender())) + ": " + schedule(s) + ".");
        }
        for (Evidence e : m.evidence()) lines.under(evidence(e));
        alternatives(m);
        if (m.wanted() != null) lines.under("What would decide: " + PlainText.foreign(m.wanted()));
    }

    static String schedule(Schedule s) {
        if (Double.isNaN(s.periodSeconds())) return Figures.count(s.frames(), "frame", "frames") + " without a schedule of its own";
        return "every " + Figures.withError(s.periodSeconds() * 1e3, s.periodErrorSeconds() * 1e3, false) + "\u00A0ms, "
                + Figures.count(s.frames(), "frame", "frames");
    }

    private static String evidence(Evidence e) {
        String weight = e.conclusive() ? "conclusive on its own (" + Figures.fixed(e.strength(), 1) + ")"
                : FindingWords.strength(e.strength());
        return PlainText.capital(e.kind().text()) + " evidence, " + weight + ": " + PlainText.foreign(e.says());
    }

    /** What is still open in full; what is excluded by name, for its reasons fill a page. */
    private void alternatives(MessageFinding m) {
        List<String> excluded = new ArrayList<>();
        for (Alternative a : m.alternatives()) {
            String what = PlainText.foreign(a.explanation());
            if (a.standing() == Alternative.Standing.EXCLUDED) excluded.add(what);
            else lines.under("Or " + what + "? " + (a.standing() == Alternative.Standing.FOUND ? "Yes: "
                    : "Still possible: ") + PlainText.foreign(a.because()));
        }
        if (!excluded.isEmpty()) {
            lines.under("Excluded: " + String.join("; ", excluded) + ". (The reasons are in --html FILE and --json"
                    + " FILE.)");
        }
    }

    private void collisions() {
        List<Collision> all = findings.clashes().collisions();
        if (all.isEmpty()) return;
        lines.heading(MetWords.heading(all.get(0).kind()));
        for (Collision c : all.subList(0, Math.min(MOST_COLLISIONS, all.size()))) lines.item(collision(c, names));
        if (all.size() > MOST_COLLISIONS) lines.item(Figures.count(all.size() - MOST_COLLISIONS) + " more.");
    }

    static String collision(Collision c, Names names) {
        return "At " + Figures.moment(c.atSeconds()) + ": " + names.message(c.key()) + ", "
                + MetWords.frames(c) + ", parting at bit "
                + c.breakBit() + "; " + (c.conclusive() ? "conclusive. " : "not conclusive alone. ")
                + PlainText.foreign(c.because());
    }

    private void instruments() {
        List<InstrumentFinding> all = findings.instruments().instruments();
        if (all.isEmpty()) return;
        lines.heading("Gauges and lamps");
        for (InstrumentFinding i : all) lines.item(PlainText.capital(PlainText.name(i.name())) + ": " + instrument(i));
    }

    static String instrument(InstrumentFinding i) {
        StringBuilder text = new StringBuilder(FindingWords.does(i));
        boolean told = i.says() != null && !i.says().isBlank();
        if (i.flapping() && !told) {
            text.append("; ").append(Figures.count(i.reversals(), i.lamp() ? "change" : "reversal",
                    i.lamp() ? "changes" : "reversals")).append(", ").append(Figures.short3(i.reversalsPerMinute()))
                    .append(" a minute");
            if (!i.lamp() && !i.levels().isEmpty()) text.append(", between ").append(levels(i));
            if (!Double.isNaN(i.withSenderChange())) {
                text.append("; ").append(Figures.percent(i.withSenderChange()))
                        .append(" of them come with a change of sender");
                if (!Double.isNaN(i.chance())) {
                    text.append(" where chance would give ").append(Figures.withError(i.chance() * 100,
                            i.chanceError() * 100, false)).append("\u00A0%");
                }
            }
        }
        text.append('.');
        if (told) text.append(' ').append(PlainText.foreign(i.says()));
        return text.toString();
    }

    static String levels(InstrumentFinding i) {
        List<String> texts = i.levels().stream().map(Figures::short3).toList();
        return Figures.list(texts, 5) + (i.unit().isEmpty() ? "" : " " + i.unit());
    }

    private void whatToDo() {
        List<Remedy> remedies = Remedies.of(findings, names);
        List<String> others = summary.otherCures();
        boolean open = findings.clashes().clash() == Answer.UNDECIDED;
        if (remedies.isEmpty() && others.isEmpty() && !open) return;
        lines.heading("What to do");
        if (open) lines.text("Take the recording that would decide before changing anything on the car.");
        for (MessageFinding m : summary.undecided()) {
            if (m.wanted() != null && open) lines.item(names.message(m.key()) + ": " + PlainText.foreign(m.wanted()));
        }
        if (!remedies.isEmpty()) {
            lines.text("Any one of these. A recording shows who speaks, not who is right: before choosing whom to keep,"
                    + " compare both with a measurement you trust.");
        }
        for (Remedy r : remedies) {
            lines.item(r.action());
            lines.under(r.effect() + " " + r.mind());
        }
        for (String cure : others) lines.item(cure);
    }

    private void recording() {
        lines.heading("What was read");
        lines.text(recordingSentence(findings));
        if (!findings.recording().sha256().isEmpty()) lines.text("SHA-256 " + findings.recording().sha256());
        for (String note : notes(findings)) lines.text("Note: " + PlainText.name(note));
        for (Gap g : findings.gaps().subList(0, Math.min(MOST_NOTICES, findings.gaps().size()))) lines.item(BusWords.gap(g));
        if (findings.gaps().size() > MOST_NOTICES) {
            lines.item(Figures.count(findings.gaps().size() - MOST_NOTICES) + " more gaps.");
        }
        List<Mark> marks = findings.marks();
        for (Mark m : marks.subList(0, Math.min(MOST_MARKS, marks.size()))) lines.item(BusWords.mark(m));
        if (marks.size() > MOST_MARKS) lines.item(Figures.count(marks.size() - MOST_MARKS) + " more marks.");
        List<Notice> notices = findings.notices();
        for (Notice n : notices.subList(0, Math.min(MOST_NOTICES, notices.size()))) {
            lines.item(n.place().describe() + ": " + n.says());
        }
        long more = findings.noticesSeen() - Math.min(MOST_NOTICES, notices.size());
        if (more > 0) lines.item(Figures.count(more, "more notice.", "more notices."));
    }

    /** Remarks from the recording's header; one that only names the layout is no remark. */
    static List<String> notes(Findings findings) {
        return findings.recording().notes().stream().filter(n -> !n.isBlank() && !n.strip().startsWith("layout:"))
                .limit(MOST_NOTICES).toList();
    }

    static String recordingSentence(Findings f) {
        StringBuilder text = new StringBuilder(PlainText.name(f.recording().source())).append(", ")
                .append(f.recording().form());
        if (!f.line().isEmpty()) text.append(", line ").append(PlainText.name(f.line()));
        text.append(": ").append(Figures.span(f.bus().durationPicos() * 1e-12)).append(", ");
        if (f.bus().wire()) {
            text.append(Figures.count(f.bus().edges(), "level change", "level changes")).append(fineness(f.recording()))
                    .append(", ");
        }
        text.append(f.bus().recognition().title()).append(" at ")
                .append(Double.isNaN(f.bus().bitsPerSecond()) ? "an unknown rate" : BusWords.rate(f.bus()));
        if (!Double.isNaN(f.bus().load())) text.append(", bus load ").append(Figures.percent(f.bus().load()));
        text.append("; ").append(BusWords.frames(f.frames())).append('.');
        String recognised = BusWords.recognised(f.bus());
        if (!recognised.isEmpty()) text.append(' ').append(recognised);
        return text.toString();
    }

    /** Voltages have no tick: theirs stands for a standard error, as an even spread over a tick has one. */
    private static String fineness(RecordingInfo recording) {
        if (!VOLTAGES.contains(recording.form())) return " at a tick of " + tick(recording.tickPicos());
        return ", each timed to about ±" + tick(recording.tickPicos() / Math.sqrt(12)) + " (one standard error)";
    }

    static String tick(double picos) {
        if (!(picos > 0)) return "unknown length";
        if (picos < 1e3) return Figures.short3(picos) + "\u00A0ps";
        if (picos < 1e6) return Figures.short3(picos / 1e3) + "\u00A0ns";
        if (picos < 1e9) return Figures.short3(picos / 1e6) + "\u00A0µs";
        return Figures.short3(picos / 1e9) + "\u00A0ms";
    }
}
