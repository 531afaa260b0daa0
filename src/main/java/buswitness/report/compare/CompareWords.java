package buswitness.report.compare;

import buswitness.compare.Change;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.compare.Comparison;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;

/** What screen and page say about a comparison in the same words. */
final class CompareWords {
    private static final int MOST_NAMED = 6;

    private static final Set<Kind> TOLD_FIRST = Set.of(Kind.BUS, Kind.MESSAGES, Kind.SENDERS, Kind.INSTRUMENTS);

    private CompareWords() {}

    /**
     * Changes that are told together.
     *
     * @param key   for a page's anchors
     * @param intro one sentence, or empty
     */
    record Group(String key, String title, String intro, List<Change> changes) {}

    static String headline(Comparison c) {
        long n = ofTheBus(c).size();
        long open = undecided(c).size();
        if (n > 0 || c.differs()) return (c.layouts() ? Figures.count(n, "difference", "differences")
                : Figures.count(n, "difference", "differences") + " on the bus") + ".";
        if (!driven(c).isEmpty()) return "Nothing on the bus itself differs beyond chance; what may be the drive does.";
        if (open > 0) return "No difference is certain; " + Figures.count(open) + (open == 1 ? " is" : " are") + " undecided.";
        return c.layouts() ? "No difference." : "No difference beyond chance.";
    }

    /** What stands below the headline: what came, went and changed, then what goes with it, then what is open. */
    static List<String> plain(Comparison c) {
        List<String> out = new ArrayList<>();
        if (c.layouts()) return out;
        for (Change x : ofTheBus(c)) {
            if (x.kind() == Kind.BUS) out.add(PlainText.capital(PlainText.foreign(x.subject())) + ": " + PlainText.foreign(x.before())
                    + " before, " + PlainText.foreign(x.after()) + " after; " + PlainText.foreign(x.says()) + ".");
        }
        say(out, "New on the bus: ", names(c, x -> x.standing() == Standing.CAME && x.kind() == Kind.MESSAGES));
        say(out, "Gone from the bus: ", names(c, x -> x.standing() == Standing.WENT && x.kind() == Kind.MESSAGES));
        Map<String, List<String>> senders = new LinkedHashMap<>();
        for (Change x : ofTheBus(c)) {
            if (x.kind() == Kind.SENDERS) senders.computeIfAbsent(x.before() + " before, " + x.after() + " after",
                    k -> new ArrayList<>()).add(PlainText.foreign(x.subject()));
        }
        senders.forEach((what, which) -> out.add(PlainText.capital(Figures.list(which, MOST_NAMED)) + ": " + what + "."));
        for (Change x : c.changes()) {
            if (x.kind() == Kind.INSTRUMENTS && x.standing().isDifference()) out.add("The " + PlainText.foreign(x.subject())
                    + ", before: " + PlainText.foreign(x.before()) + "; after: " + PlainText.foreign(x.after()) + ".");
        }
        List<String> rest = names(c, x -> !TOLD_FIRST.contains(x.kind()));
        say(out, "Changed as well: ", rest);
        List<Change> driven = driven(c);
        if (!driven.isEmpty()) out.add(PlainText.capital(Figures.count(driven.size(), "difference", "differences")) + " in values,"
                + " events or load may come from the drive as well as from the bus; these recordings do not show which.");
        int open = undecided(c).size();
        if (open > 0) out.add(Figures.count(open, "thing stays", "things stay") + " undecided.");
        return out;
    }

    private static void say(List<String> out, String what, List<String> which) {
        if (!which.isEmpty()) out.add(what + Figures.list(which, MOST_NAMED) + ".");
    }

    private static List<String> names(Comparison c, Predicate<Change> which) {
        return ofTheBus(c).stream().filter(which).map(x -> (x.kind() == Kind.PERIODS ? "period of " : x.kind() == Kind.CLOCKS
                ? "clock of " : "") + PlainText.foreign(x.subject())).toList();
    }

    /** In the order of telling; groups without changes are left out. What is alike is in none. */
    static List<Group> groups(Comparison c) {
        List<Group> out = new ArrayList<>();
        for (Standing s : List.of(Standing.CAME, Standing.WENT, Standing.CHANGED)) {
            add(out, new Group(s.name().toLowerCase(Locale.ROOT), PlainText.capital(s.text()), "",
                    ofTheBus(c).stream().filter(x -> x.standing() == s).toList()));
        }
        add(out, new Group("follows", "Comes with these", "", with(c, Origin.FOLLOWS)));
        add(out, new Group("drive", "Bus or drive", "These differ beyond chance, but another drive makes such differences as well"
                + " as another bus. Compare the same stretch, driven alike, to know.", driven(c)));
        add(out, new Group("undecided", "Undecided", "", undecided(c)));
        return out;
    }

    private static void add(List<Group> out, Group group) {
        if (!group.changes().isEmpty()) out.add(group);
    }

    /** What is alike, kind by kind: the kind with a count, and the subjects. */
    static Map<String, List<Change>> alike(Comparison c) {
        Map<String, List<Change>> out = new LinkedHashMap<>();
        for (Change x : c.changes()) {
            if (x.standing() == Standing.SAME) out.computeIfAbsent(x.kind().text(), k -> new ArrayList<>()).add(x);
        }
        return out;
    }

    /** {@code 8 senders, 10 periods and 23 values}. */
    static String alikeCounts(Comparison c) {
        List<String> parts = new ArrayList<>();
        alike(c).forEach((kind, some) -> {
            boolean one = some.get(0).kind() == Kind.BUS || some.get(0).kind() == Kind.DAMAGE || some.get(0).kind() == Kind.LOAD;
            parts.add(one ? kind : some.size() == 1 ? "1 " + kind.substring(0, kind.length() - 1)
                    : Figures.count(some.size()) + " " + kind);
        });
        return Figures.list(parts);
    }

    private static List<Change> ofTheBus(Comparison c) {
        return with(c, Origin.BUS);
    }

    private static List<Change> driven(Comparison c) {
        return with(c, Origin.DRIVE);
    }

    private static List<Change> with(Comparison c, Origin origin) {
        return c.changes().stream().filter(x -> x.standing().isDifference() && x.origin() == origin).toList();
    }

    private static List<Change> undecided(Comparison c) {
        return c.changes().stream().filter(x -> x.standing() == Standing.UNDECIDED).toList();
    }

    static String method(Comparison c) {
        if (c.layouts()) return "Layouts are compared word by word: nothing is left to chance.";
        return Figures.count(c.changes().size(), "thing was", "things were") + " compared, " + Figures.count(c.tests())
                + " of them tested against chance. All tests together call a difference where there is none less than once in a"
                + " hundred comparisons; what chance would show up to five times in a hundred is undecided. A difference and a"
                + " mean stand with their standard error. \"By chance\" is how often such a difference would show somewhere in a"
                + " whole comparison where nothing differs.";
    }

    static String tone(Comparison c) {
        return c.differs() ? "yes" : c.undecided() ? "undecided" : "no";
    }

    static String difference(Change c) {
        if (Double.isNaN(c.difference())) return "";
        String unit = c.unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(c.unit());
        return Figures.withError(c.difference(), c.error(), true).replace('-', '\u2212') + unit;
    }

    /** Chance in a hundred comparisons of this kind. */
    static String chance(Change c) {
        if (Double.isNaN(c.chance())) return "";
        if (c.chance() < 1e-6) return "less than 1 in a million";
        if (c.chance() < 0.001) return "less than 1 in 1,000";
        return Figures.percent(c.chance());
    }

    static String line(Change c) {
        String d = difference(c);
        return PlainText.capital(PlainText.foreign(c.subject())) + ": " + PlainText.foreign(c.before()) + " before, "
                + PlainText.foreign(c.after()) + " after" + (d.isEmpty() ? "" : "; difference " + d)
                + (chance(c).isEmpty() ? "" : "; by chance: " + chance(c))
                + (c.says().isEmpty() ? "." : " (" + PlainText.foreign(c.says()) + ").");
    }
}
