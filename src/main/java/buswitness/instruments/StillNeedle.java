package buswitness.instruments;

import buswitness.clashes.Verdict;
import buswitness.schema.Gauge;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** A needle that stands still although two senders tell it different values: beyond its scale, or where that is flat. */
final class StillNeedle {
    /** Values of one sender read at different times differ as well; common practice, no source. */
    private static final double LEAST_SPREADS = 3;
    private static final int LEAST_FRAMES = 3;

    private final Gauge gauge;
    private final Facts facts;
    private final SignalSeries series;

    private StillNeedle(Gauge gauge, Facts facts) {
        this.gauge = gauge;
        this.facts = facts;
        series = facts.series();
    }

    /** A sentence, or null where the senders agree or the needle follows what they say. */
    static String sentence(Gauge gauge, Facts facts) {
        return facts.verdict() == Verdict.TWO_SENDERS ? new StillNeedle(gauge, facts).say() : null;
    }

    private record Told(int sender, double value, double spread, double least, double most) {}

    private String say() {
        List<Told> told = told();
        if (told.size() < 2) return null;
        Told low = told.get(0);
        Told high = told.get(told.size() - 1);
        // How far the two lie apart from one frame to the next, whatever both do in the course of the drive.
        double apart = betweenSenders();
        double counts = Jumps.LEAST_COUNTS * Math.abs(gauge.signal().factor());
        if (!(apart > counts) || apart < LEAST_SPREADS * withinSenders()) return null;
        for (Told t : told) {
            if (Math.abs(gauge.shareOf(t.most()) - gauge.shareOf(low.least())) >= Jumps.VISIBLE_SHARE) return null;
            if (Math.abs(gauge.shareOf(t.least()) - gauge.shareOf(low.least())) >= Jumps.VISIBLE_SHARE) return null;
        }
        double start = leaves(true);
        double end = leaves(false);
        boolean below = high.most() <= start;
        boolean above = low.least() >= end;
        String unit = gauge.signal().unit();
        StringBuilder text = new StringBuilder("The ").append(gauge.name()).append(below || above ? " rests at its stop"
                : " does not move").append(" although two senders disagree: ");
        for (Told t : told) {
            if (t != low) text.append(t == high ? " and " : ", ");
            text.append(facts.clashes().senders().get(t.sender()).title()).append(" says ")
                    .append(Words.value(t.value(), t.spread(), unit));
        }
        if (below || above) {
            text.append(told.size() == 2 ? ", both " : ", all ").append(below ? "below " : "above ")
                    .append(Words.value(below ? start : end, unit)).append(", where the needle begins to move. It would swing"
                    + " as soon as one of them goes ").append(below ? "above" : "below").append(" that")
                    .append(below && unit.equals("°C") ? ", as when the engine is warm" : "");
        } else {
            text.append(", where its scale is flat. It would swing wherever the scale tells the two apart");
        }
        return text.append('.').toString();
    }

    /** What each sender says, ascending by value; unknown senders and those of few frames left out. */
    private List<Told> told() {
        Map<Integer, List<Double>> values = new TreeMap<>();
        for (int k = 0; k < series.samples; k++) {
            if (series.sender[k] >= 0) values.computeIfAbsent(series.sender[k], s -> new ArrayList<>()).add(series.value[k]);
        }
        List<Told> out = new ArrayList<>();
        values.forEach((sender, list) -> {
            if (list.size() < LEAST_FRAMES) return;
            double[] v = list.stream().mapToDouble(Double::doubleValue).toArray();
            out.add(new Told(sender, Robust.median(v), Robust.spread(v), Robust.quantile(v, 0), Robust.quantile(v, 1)));
        });
        out.sort((a, b) -> Double.compare(a.value(), b.value()));
        return out;
    }

    private double betweenSenders() {
        List<Double> steps = new ArrayList<>();
        for (int k = 1; k < series.samples; k++) {
            if (series.fresh[k] || series.sender[k] < 0 || series.sender[k - 1] < 0) continue;
            if (series.sender[k] != series.sender[k - 1]) steps.add(Math.abs(series.value[k] - series.value[k - 1]));
        }
        return steps.isEmpty() ? 0 : Robust.median(steps.stream().mapToDouble(Double::doubleValue).toArray());
    }

    /** The step from one frame of a sender to its next that nine in ten do not exceed. */
    private double withinSenders() {
        Map<Integer, Double> last = new TreeMap<>();
        List<Double> steps = new ArrayList<>();
        for (int k = 0; k < series.samples; k++) {
            if (series.fresh[k]) last.clear();
            if (series.sender[k] < 0) continue;
            Double before = last.put(series.sender[k], series.value[k]);
            if (before != null) steps.add(Math.abs(series.value[k] - before));
        }
        return steps.isEmpty() ? 0 : Robust.quantile(steps.stream().mapToDouble(Double::doubleValue).toArray(), 0.9);
    }

    /** The value at which the needle leaves one of its stops. */
    private double leaves(boolean first) {
        double[] values = gauge.values();
        double[] shares = gauge.shares();
        int at = first ? 0 : values.length - 1;
        int step = first ? 1 : -1;
        while (at + step >= 0 && at + step < shares.length && shares[at + step] == shares[at]) at += step;
        return values[at];
    }
}
