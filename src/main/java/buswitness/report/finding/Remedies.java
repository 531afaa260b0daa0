package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.instruments.InstrumentFinding;
import buswitness.report.parts.Figures;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.RemedyWords;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/** Works out, from the findings alone, what each usual remedy would cure on this bus. */
final class Remedies {
    /** More senders than this in one report would bury the reader; the JSON holds them all. */
    private static final int MOST_SENDERS = 4;

    private final Findings findings;
    private final Names names;
    private final List<MessageFinding> clashes;

    private Remedies(Findings findings, Names names) {
        this.findings = findings;
        this.names = names;
        this.clashes = clashing(findings);
    }

    /** Messages with the verdict two senders, by identifier. */
    static List<MessageFinding> clashing(Findings findings) {
        return findings.clashes().messages().stream().filter(m -> m.verdict() == Verdict.TWO_SENDERS).toList();
    }

    /** Remedies for every clash, most useful first; empty without a clash. */
    static List<Remedy> of(Findings findings, Names names) {
        return new Remedies(findings, names).all();
    }

    private List<Remedy> all() {
        List<Remedy> found = new ArrayList<>();
        Set<Integer> involved = new TreeSet<>();
        for (MessageFinding m : clashes) involved.addAll(m.senders());
        List<Integer> senders = involved.stream().limit(MOST_SENDERS).toList();
        for (int s : senders) found.add(leaveOut(s));
        if (onePair(involved)) {
            // Whichever of the two is silenced or set apart, the effect is the same: say it once.
            found.add(silence(senders.get(1), " or in " + names.sender(senders.get(0)) + ", not in both"));
            found.add(separate(senders.get(1), " or " + names.sender(senders.get(0))));
        } else {
            for (int s : senders) found.add(silence(s, ""));
            for (int s : senders) found.add(separate(s, ""));
        }
        if (clashes.stream().anyMatch(m -> m.senders().size() > 2)) {
            found.removeIf(r -> r.cured() == 0);
            found.add(leaveToOne(involved));
        }
        // Stable: among equals the order above stands, the simplest remedy first.
        found.sort(Comparator.comparingInt(Remedy::cured).reversed()
                .thenComparing(Comparator.comparingInt(Remedy::served).reversed())
                .thenComparingInt(r -> r.silenced().size()));
        return found;
    }

    private Remedy leaveToOne(Set<Integer> involved) {
        String units = Figures.list(involved.stream().map(names::sender).toList(), 2 * MOST_SENDERS);
        String messages = Figures.list(names.messages(clashes.stream().map(MessageFinding::key).toList()), 4);
        Remedy one = remedy(RemedyWords.leaveToOne(messages, units, clashes.size() == 1), -1, Set.of(), List.of(),
                RemedyWords.MIND_SILENCE);
        int served = (int) findings.instruments().instruments().stream().map(i -> findings.clashes().message(i.key()))
                .filter(m -> m != null && m.verdict() != Verdict.UNDECIDED).count();
        return new Remedy(one.action(), clashes.size(), clashes.size(), served, one.wanted(), one.lost(), one.open(),
                one.silenced(), one.mind());
    }

    private boolean onePair(Set<Integer> involved) {
        return involved.size() == 2 && clashes.stream().allMatch(m -> m.senders().size() == 2);
    }

    private Remedy leaveOut(int sender) {
        Set<Long> gone = new HashSet<>();
        List<Long> silenced = new ArrayList<>();
        for (long key : findings.clashes().senders().get(sender).keys()) {
            if (others(key, sender) == 0) {
                gone.add(key);
                silenced.add(key);
            }
        }
        return remedy(RemedyWords.leaveOut(names.sender(sender)), sender, gone, silenced,
                RemedyWords.MIND_LEAVE_OUT);
    }

    private Remedy silence(int sender, String orIn) {
        return remedy(RemedyWords.silence(shared(sender), names.sender(sender), orIn, clashesOf(sender).size() == 1),
                sender, Set.of(), List.of(), RemedyWords.MIND_SILENCE);
    }

    private Remedy separate(int sender, String or) {
        return remedy(RemedyWords.gateway(shared(sender), names.sender(sender), or), sender, Set.of(), List.of(),
                RemedyWords.MIND_GATEWAY);
    }

    private Remedy remedy(String action, int sender, Set<Long> gone, List<Long> silenced, String mind) {
        Set<Long> still = new HashSet<>();
        int cured = 0;
        for (MessageFinding m : clashes) {
            boolean left = m.senders().stream().filter(s -> s != sender).count() > 1 || !m.senders().contains(sender);
            if (left) still.add(m.key());
            else cured++;
        }
        int served = 0;
        int wanted = 0;
        List<String> lost = new ArrayList<>();
        List<String> open = new ArrayList<>();
        for (InstrumentFinding i : findings.instruments().instruments()) {
            MessageFinding message = findings.clashes().message(i.key());
            if (message == null) continue;
            wanted++;
            if (gone.contains(i.key())) lost.add(PlainText.name(i.name()));
            else if (message.verdict() == Verdict.UNDECIDED) open.add(PlainText.name(i.name()));
            else if (!still.contains(i.key())) served++;
        }
        return new Remedy(action, cured, clashes.size(), served, wanted, lost, open, names.messages(silenced), mind);
    }

    private int others(long key, int sender) {
        List<Sender> all = findings.clashes().senders();
        int others = 0;
        for (int i = 0; i < all.size(); i++) if (i != sender && all.get(i).keys().contains(key)) others++;
        return others;
    }

    private List<Long> clashesOf(int sender) {
        return clashes.stream().filter(m -> m.senders().contains(sender)).map(MessageFinding::key).toList();
    }

    private String shared(int sender) {
        return Figures.list(names.messages(clashesOf(sender)), 4);
    }
}
