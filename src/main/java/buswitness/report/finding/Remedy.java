package buswitness.report.finding;

import buswitness.report.parts.Figures;
import java.util.List;

/**
 * One way out, with what it would do on this bus.
 *
 * @param action     what to do, one sentence
 * @param cured      clashes it ends
 * @param clashes    clashes there are
 * @param served     instruments that would then have exactly one sender behind them
 * @param wanted     instruments whose message was seen at all
 * @param lost       names of instruments that nobody would serve
 * @param open       names of instruments whose message is undecided, before and after
 * @param silenced   messages that nobody would send
 * @param mind       what to mind, one sentence
 */
public record Remedy(String action, int cured, int clashes, int served, int wanted, List<String> lost,
                     List<String> open, List<String> silenced, String mind) {
    public Remedy {
        lost = List.copyOf(lost);
        open = List.copyOf(open);
        silenced = List.copyOf(silenced);
    }

    /** What it would cure, one sentence. */
    public String effect() {
        StringBuilder text = new StringBuilder("Ends " + cured + " of " + Figures.count(clashes, "clash", "clashes"));
        if (wanted > 0) {
            text.append("; ").append(served).append(" of ").append(Figures.count(wanted, "instrument", "instruments"))
                    .append(wanted == 1 ? " is" : " are").append(" then served by one sender alone");
        }
        if (!open.isEmpty()) {
            text.append("; ").append(Figures.list(open, 6)).append(open.size() == 1 ? " stays" : " stay")
                    .append(" undecided");
        }
        if (!lost.isEmpty()) text.append("; nobody would serve ").append(Figures.list(lost, 6));
        if (!silenced.isEmpty()) text.append("; nobody would send ").append(Figures.list(silenced, 6));
        return text.append('.').toString();
    }
}
