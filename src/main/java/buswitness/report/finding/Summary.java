package buswitness.report.finding;

import buswitness.Findings;
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
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/** The findings in plain sentences, the same on the screen and on the page. */
final class Summary {
    private final Findings findings;
    private final Names names;
    private final List<MessageFinding> clashing;
    private final List<MessageFinding> undecided;

    Summary(Findings findings, Names names) {
        this.findings = findings;
        this.names = names;
        clashing = Remedies.clashing(findings);
        undecided = findings.clashes().messages().stream().filter(m -> m.verdict() == Verdict.UNDECIDED).toList();
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
            return shared().isEmpty() ? "No clash: every message here has one sender."
                    : "No clash: no message here has a sender too many.";
        }
        return findings.frames().wholeCount() == 0 ? "Not decided: no whole frame could be read."
                : "Not decided: this recording does not settle it.";
    }

    /** What it means for somebody who is no engineer: one to four sentences. */
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
            out.addAll(suffering.stream().limit(6).map(this::sufferingSentence).toList());
            if (suffering.size() > 6) {
                out.add(Figures.count(suffering.size() - 6, "more instrument misbehaves", "more instruments misbehave")
                        + ", listed below.");
            }
        }
        if (answer == Answer.YES && !undecided.isEmpty()) {
            out.add(PlainText.capital(number(undecided.size())) + (undecided.size() == 1 ? " more message stays"
                    : " more messages stay") + " undecided.");
        }
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
        return "Each of the " + Figures.count(findings.clashes().messages().size(), "message", "messages")
                + " in these " + Figures.span(findings.bus().durationPicos() * 1e-12) + " comes from one sender alone" + save;
    }

    private String undecidedSentence() {
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

    private String sufferingSentence(InstrumentFinding i) {
        return "The " + PlainText.name(i.name()) + " " + FindingWords.does(i) + ".";
    }

    /** Senders of clashing messages, ascending. */
    Set<Integer> involved() {
        Set<Integer> involved = new TreeSet<>();
        for (MessageFinding m : clashing) involved.addAll(m.senders());
        return involved;
    }

    /** What to do where nothing clashes but something misbehaves. */
    List<String> otherCures() {
        Set<String> out = new LinkedHashSet<>();
        for (InstrumentFinding i : suffering()) {
            String name = "The " + PlainText.name(i.name());
            switch (i.cause()) {
                case OWN_READING -> out.add(name + ": look at the sensor behind it, its plug, wire and ground; the bus"
                        + " carries faithfully what its unit reads.");
                case RESTARTS -> out.add(name + ": look at the supply and ground of the unit that sends its message; it"
                        + " starts afresh again and again.");
                case DISTURBANCE -> out.add(name + ": look at terminators, shields, grounds and joints of the bus;"
                        + " frames of many messages are damaged.");
                case MISSING_FRAMES -> out.add(name + ": find out why its message stays away at times: a loose plug, a"
                        + " gateway, a unit that sleeps.");
                default -> { }
            }
        }
        return List.copyOf(out);
    }

    static List<Long> keys(List<MessageFinding> messages) {
        return messages.stream().map(MessageFinding::key).toList();
    }

    private static String number(int n) {
        String[] words = {"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"};
        return n < words.length ? words[n] : Figures.count(n);
    }
}
