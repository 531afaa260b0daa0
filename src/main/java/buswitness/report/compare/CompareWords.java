package buswitness.report.compare;

import buswitness.compare.Change;
import buswitness.compare.Comparison;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;

/** What screen and page say about a comparison in the same words. */
final class CompareWords {
    private CompareWords() {}

    static String headline(Comparison c) {
        long n = c.changes().stream().filter(x -> x.standing().isDifference()).count();
        long open = c.changes().stream().filter(x -> x.standing() == Change.Standing.UNDECIDED).count();
        if (n > 0) return PlainText.capital(Figures.count(n, "difference", "differences"))
                + (open > 0 ? ", and " + Figures.count(open) + " undecided." : ".");
        if (open > 0) return "No difference is certain; " + Figures.count(open) + (open == 1 ? " is" : " are") + " undecided.";
        return "No difference beyond chance.";
    }

    static String method(Comparison c) {
        if (c.layouts()) return "Layouts are compared word by word: nothing is left to chance.";
        return Figures.count(c.changes().size(), "thing was", "things were") + " compared, " + Figures.count(c.tests())
                + " of them tested against chance. All tests together call a difference where there is none less than once in a"
                + " hundred comparisons; what chance would show up to five times in a hundred is undecided. A difference stands"
                + " with its standard error.";
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
