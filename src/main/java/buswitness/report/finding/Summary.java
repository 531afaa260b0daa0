package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.Alternative;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.report.parts.Figures;
import buswitness.report.parts.FindingWords;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/** The findings in plain sentences, the same on the screen and on the page. */
final class Summary {
    /** Words that lead a sentence of {@link #plain()}. */
    static final String CURE = "What cures it:";
    static final String SURE = "How sure:";
    static final String DECIDE = "What would decide:";
    static final List<String> LEADS = List.of(CURE, SURE, DECIDE);

    /** Less than this is too little to judge, as the verdict has it. */
    private static final double BEYOND = 12;
    private static final int FEW_FRAMES = 20;
    private static final long SHORT_PICOS = 2_000_000_000_000L;
    private final Findings findings;
    private final Names names;
    private final List<MessageFinding> clashing;
    private final List<MessageFinding> undecided;
    private final Troubles troubles;

    Summary(Findings findings, Names names) {
        this.findings = findings;
        this.names = names;
        clashing = Remedies.clashing(findings);
        undecided = findings.clashes().messages().stream().filter(m -> m.verdict() == Verdict.UNDECIDED).toList();
        troubles = new Troubles(findings, names, suffering());
    }

    List<MessageFinding> clashing() {
        return clashing;
    }

    /** Keys of the messages that two senders share. */
    Set<Long> clashingKeys() {
        return clashing.stream().map(MessageFinding::key).collect(Collectors.toSet());
    }

    List<MessageFinding> undecided() {
        return undecided;
    }

    /** Four to ten words. */
    String headline() {
        Answer answer = findings.clashes().clash();
        if (answer == Answer.YES) {
            // More than two labels may still be two units, each met on another message under a clock of its own.
            return involved().size() > 2 ? "Senders clash on this bus." : "Two senders clash on this bus.";
        }
        if (answer == Answer.NO) {
            if (!troubles.isEmpty()) return "No clash: what misbehaves has another cause.";
            return shared().isEmpty() ? "No clash: every message here has one sender."
                    : "No clash: no message here has a sender too many.";
        }
        return findings.frames().wholeCount() == 0 ? "Not decided: no whole frame could be read."
                : "Not decided: this recording does not settle it.";
    }

    /** What it means for somebody who is no engineer: some sentences: what is wrong, what suffers, what cures it, how sure that is. */
    List<String> plain() {
        List<String> out = new ArrayList<>();
        Answer answer = findings.clashes().clash();
        if (answer == Answer.YES) out.add(clashSentence());
        else if (answer == Answer.NO) out.add(noClashSentence());
        else out.add(undecidedSentence());
        List<InstrumentFinding> suffering = suffering();
        for (InstrumentFinding i : disputed()) out.add("The " + PlainText.name(i.name()) + " " + FindingWords.does(i) + ".");
        if (findings.layout() == null) {
            out.add("No layout file was given, so this report knows messages by number only and cannot say which gauges"
                    + " and lamps they drive.");
        } else if (suffering.isEmpty()) {
            out.add(findings.instruments().instruments().isEmpty() ? "The layout names no gauges or lamps."
                    : "No " + (disputed().isEmpty() ? "" : "other ") + "gauge or lamp of the layout misbehaves in this"
                    + " recording.");
        } else {
            out.addAll(troubles.sentences());
        }
        if (answer == Answer.YES && !undecided.isEmpty()) {
            out.add(PlainText.capital(number(undecided.size())) + (undecided.size() == 1 ? " more message stays"
                    : " more messages stay") + " undecided.");
        }
        if (answer == Answer.NO) out.addAll(found());
        out.addAll(strangers());
        if (answer == Answer.UNDECIDED) {
            undecided.stream().filter(m -> m.wanted() != null).findFirst()
                    .ifPresent(m -> out.add(DECIDE + " " + PlainText.foreign(m.wanted())));
        }
        String cure = cure();
        if (!cure.isEmpty()) out.add(cure);
        String sure = howSure();
        if (!sure.isEmpty()) out.add(sure);
        return out;
    }

    private String clashSentence() {
        boolean one = clashing.size() == 1;
        String what = Figures.list(names.messages(keys(clashing)), 3);
        String who = Figures.list(names.senders(List.copyOf(involved())));
        String howMany = one ? "One message, " : PlainText.capital(number(clashing.size())) + " messages, ";
        return howMany + (clashing.size() <= 3 ? what : "listed below") + (one ? ", is" : ", are")
                + " sent by more than one unit: " + who
                + ". What one says, the other overwrites a moment later.";
    }

    /** Messages that several nodes send by design. */
    private List<MessageFinding> shared() {
        return findings.clashes().messages().stream().filter(m -> m.byDesign() != null && m.senders().size() > 1).toList();
    }

    private String noClashSentence() {
        List<MessageFinding> shared = shared();
        String save = shared.isEmpty() ? "." : ", save what several nodes answer by design: " + Figures.list(shared.stream()
                .map(m -> names.message(m.key()) + ", an " + m.byDesign()).toList(), 3) + ".";
        int n = findings.clashes().messages().size();
        return (n == 1 ? "The one message" : "Each of the " + Figures.count(n, "message", "messages")) + " in these " + span()
                + " comes from one sender alone" + save;
    }

    private String undecidedSentence() {
        if (findings.readAtAWrongRate()) return PlainText.capital(findings.unreadable()) + ". Correct that rate and look again.";
        boolean little = findings.frames().wholeCount() < FEW_FRAMES || findings.bus().durationPicos() < SHORT_PICOS;
        if (undecided.isEmpty() && !little) {
            return "Frames of a message that never came whole are in this recording, so it does not show who sends them.";
        }
        if (undecided.isEmpty()) return "There is too little in this recording to say whether two units clash.";
        return "For " + Figures.list(names.messages(keys(undecided)), 4) + " this recording does not show whether one"
                + " unit sends or two. Nobody is accused.";
    }

    /** Instruments that do not behave, a lamp that blinks by design left out. */
    List<InstrumentFinding> suffering() {
        return findings.instruments().instruments().stream()
                .filter(i -> i.symptom() != Symptom.NONE && i.cause() != Cause.BLINKING).toList();
    }

    /** Needles that stand still in this recording although two senders disagree about them. */
    private List<InstrumentFinding> disputed() {
        return findings.instruments().instruments().stream()
                .filter(i -> i.symptom() == Symptom.NONE && i.cause() == Cause.TWO_SENDERS).limit(3).toList();
    }

    private String span() {
        return Figures.span(findings.bus().durationPicos() * 1e-12);
    }

    /** What was found that looks like a clash and is none. */
    private List<String> found() {
        Map<String, List<String>> where = new LinkedHashMap<>();
        for (MessageFinding m : findings.clashes().messages()) {
            for (Alternative a : m.alternatives()) {
                if (a.standing() == Alternative.Standing.FOUND) {
                    where.computeIfAbsent(PlainText.foreign(a.explanation()), k -> new ArrayList<>()).add(names.message(m.key()));
                }
            }
        }
        return where.entrySet().stream().limit(3).map(e -> "Found on " + Figures.list(e.getValue(), 4) + ": " + e.getKey() + ".")
                .toList();
    }

    /** Who of the clash has no name, and how to know the unit. */
    private List<String> strangers() {
        List<Integer> unnamed = involved().stream().filter(s -> findings.clashes().senders().get(s).name() == null).limit(2).toList();
        if (unnamed.isEmpty()) return List.of();
        List<String> out = new ArrayList<>();
        List<Integer> unknown = new ArrayList<>();
        for (int s : unnamed) {
            String kin = names.kin(s, clashingKeys());
            if (!kin.isEmpty()) out.add("Sender " + names.sender(s) + ": " + Character.toLowerCase(kin.charAt(0)) + kin.substring(1));
            if (!kin.contains("unplug")) unknown.add(s);
        }
        if (!unknown.isEmpty()) {
            boolean one = unknown.size() == 1;
            out.add("Which " + (one ? "unit " : "units ") + Figures.list(names.senders(unknown)) + (one ? " is" : " are")
                    + " shows when " + (one ? "it" : "each") + " is unplugged with the ignition off and its frames stop; never unplug"
                    + " airbag or brake units.");
        }
        return out;
    }

    /** The first thing to do; empty where there is nothing to cure, or nothing decided. */
    private String cure() {
        List<String> all = new ArrayList<>(Remedies.of(findings, names).stream().map(Remedy::action).toList());
        boolean clash = !all.isEmpty();
        all.addAll(troubles.cures());
        if (all.isEmpty() || findings.clashes().clash() == Answer.UNDECIDED) return "";
        String first = all.get(0);
        int more = all.size() - 1;
        return CURE + " " + Character.toLowerCase(first.charAt(0)) + first.substring(1)
                + (more == 0 ? "" : " " + (clash ? PlainText.capital(number(more)) + (more == 1 ? " other way is" : " other ways are")
                : PlainText.capital(number(more)) + (more == 1 ? " more thing" : " more things") + " to do" + (more == 1 ? " is" : " are"))
                + " listed below.");
    }

    /** How far the verdict can be trusted, in words; empty where nothing is decided. */
    private String howSure() {
        Answer answer = findings.clashes().clash();
        if (answer == Answer.YES) {
            MessageFinding least = clashing.stream().min(Comparator.comparingDouble(MessageFinding::strength)).orElse(null);
            if (least == null || Double.isNaN(least.strength())) return "";
            String power = Figures.fixed(Math.floor(least.strength()), 0);
            // The kinds are not wholly independent, so a sum of their strengths is not to be believed to any power.
            String times = least.strength() >= BEYOND ? "over 10^12 (a million million)"
                    : "10^" + power + " (a 1 with " + power + " noughts)";
            List<String> kinds = least.evidence().stream().filter(e -> e.strength() >= 1 || e.conclusive())
                    .map(e -> FindingWords.looksAt(e.kind())).distinct().toList();
            return SURE + " the evidence is " + (least.strength() >= 6 ? "very strong" : least.strength() >= 3 ? "strong" : "weak")
                    + ". " + (clashing.size() == 1 ? "Two" : "Even on the least certain of these messages two") + " senders explain"
                    + " what was seen " + times + " times better than one"
                    + (kinds.size() < 2 ? "." : ", and " + number(kinds.size()) + " kinds of evidence agree: "
                    + Figures.list(kinds) + ".");
        }
        if (answer == Answer.NO && !findings.clashes().messages().isEmpty()) {
            List<MessageFinding> doubtful = findings.clashes().messages().stream().filter(m -> m.strength() >= 1).toList();
            return SURE + (doubtful.isEmpty() ? " nothing in these " + Figures.count(findings.frames().size(), "frame", "frames")
                    + " speaks for a second sender." : " what speaks for a second sender on "
                    + Figures.list(names.messages(keys(doubtful)), 4) + " is too little.") + " \"No clash\" is a weaker"
                    + " verdict than a clash would be: a unit that was silent in these " + span() + " cannot be seen.";
        }
        return "";
    }

    /** Senders of clashing messages, ascending. */
    Set<Integer> involved() {
        Set<Integer> involved = new TreeSet<>();
        for (MessageFinding m : clashing) involved.addAll(m.senders());
        return involved;
    }

    /** What to do about what misbehaves for another reason than a clash. */
    List<String> otherCures() {
        return troubles.cures();
    }

    static List<Long> keys(List<MessageFinding> messages) {
        return messages.stream().map(MessageFinding::key).toList();
    }

    private static String number(int n) {
        String[] words = {"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"};
        return n < words.length ? words[n] : Figures.count(n);
    }
}
