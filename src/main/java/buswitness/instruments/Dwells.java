package buswitness.instruments;

import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * How long a lamp stayed lit and dark between its changes, and whether that is blinking on purpose: steady, 60 to 120
 * times a minute (UN R48 clause 6.5.8: 90 +- 30 a minute; seen in a garbled copy), lit for 30 to 75 % of each period
 * (SAE J590, from memory). A lamp that the layout calls blinking may do so at any steady rate.
 */
final class Dwells {
    private static final double LONGEST_PERIOD_SECONDS = 1.0;
    private static final double SHORTEST_PERIOD_SECONDS = 0.5;
    private static final double LEAST_DUTY = 0.30;
    private static final double MOST_DUTY = 0.75;
    /** A pause this long ends a spell of blinking. */
    private static final double PAUSE_SECONDS = 1.5;
    private static final double STEADY_SHARE = 0.15;
    private static final double LEAST_EVEN = 0.8;
    private static final double LEAST_IN_SPELLS = 0.8;
    private static final int LEAST_CHANGES = 4;
    /** No hand works a switch faster, again and again; common practice, no source. */
    private static final double HASTY_SECONDS = 0.4;
    private static final double HASTY_FRAMES = 2.5;
    private static final double HASTY_MOST_SECONDS = 2;

    /** Time of each change. */
    private final double[] at;
    /** Lit from this change on. */
    private final boolean[] lit;
    /** Time to the next change, NaN where a gap or the end comes first. */
    private final double[] lasts;
    private final double spacingSeconds;

    /** Steady blinking: how often a minute, and for which share of a period it is lit. */
    record Blinking(double perMinute, double duty) {}

    Dwells(SignalSeries series, int[] changes, java.util.function.DoublePredicate isLit) {
        at = new double[changes.length];
        lit = new boolean[changes.length];
        lasts = new double[changes.length];
        for (int i = 0; i < changes.length; i++) {
            at[i] = series.at[changes[i]];
            lit[i] = isLit.test(series.value[changes[i]]);
            lasts[i] = Double.NaN;
            if (i + 1 == changes.length) continue;
            boolean joined = true;
            for (int k = changes[i] + 1; k <= changes[i + 1]; k++) joined &= !series.fresh[k];
            if (joined) lasts[i] = series.at[changes[i + 1]] - at[i];
        }
        double[] spacings = new double[Math.max(0, series.samples - 1)];
        for (int k = 1; k < series.samples; k++) spacings[k - 1] = series.at[k] - series.at[k - 1];
        spacingSeconds = spacings.length == 0 ? Double.NaN : Robust.median(spacings);
    }

    /** Stays shorter than a hand or a real state would make them, for these frames. */
    int hasty() {
        double limit = Math.max(HASTY_SECONDS, Math.min(HASTY_FRAMES * spacingSeconds, HASTY_MOST_SECONDS));
        int count = 0;
        for (double d : lasts) if (d < limit) count++;
        return count;
    }

    /** @param anyRate for a lamp that is known to blink. @return null where it does not blink steadily */
    Blinking blinking(boolean anyRate) {
        List<Double> periods = new ArrayList<>();
        List<Double> duties = new ArrayList<>();
        int inSpells = 0;
        int from = 0;
        while (from < at.length) {
            int until = from;
            while (until < at.length - 1 && lasts[until] <= PAUSE_SECONDS) until++;
            if (until - from + 1 >= LEAST_CHANGES && steady(from, until, periods, duties)) inSpells += until - from + 1;
            from = until + 1;
        }
        if (periods.isEmpty() || inSpells < LEAST_IN_SPELLS * at.length) return null;
        double period = median(periods);
        double duty = median(duties);
        boolean byRule = period >= SHORTEST_PERIOD_SECONDS - spacingSeconds
                && period <= LONGEST_PERIOD_SECONDS + spacingSeconds && duty >= LEAST_DUTY && duty <= MOST_DUTY;
        return anyRate || byRule ? new Blinking(60 / period, duty) : null;
    }

    /** Adds the spell's whole periods and duties where nearly all are even; a lost frame spoils one or two. */
    private boolean steady(int from, int until, List<Double> periods, List<Double> duties) {
        List<Double> spell = new ArrayList<>();
        List<Double> lit = new ArrayList<>();
        for (int i = from; i + 2 <= until; i++) {
            if (!this.lit[i]) continue;
            double period = at[i + 2] - at[i];
            spell.add(period);
            lit.add(lasts[i] / period);
        }
        if (spell.isEmpty()) return false;
        double middle = median(spell);
        double allowed = STEADY_SHARE * middle + spacingSeconds;
        int even = 0;
        for (double period : spell) if (Math.abs(period - middle) <= allowed) even++;
        if (even < LEAST_EVEN * spell.size()) return false;
        periods.addAll(spell);
        duties.addAll(lit);
        return true;
    }

    private static double median(List<Double> values) {
        double[] array = values.stream().mapToDouble(Double::doubleValue).toArray();
        Arrays.sort(array);
        return Robust.median(array);
    }
}
