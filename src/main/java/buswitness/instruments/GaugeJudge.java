package buswitness.instruments;

import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.schema.Gauge;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** Symptom, cause and sentence for a needle. */
final class GaugeJudge {
    /** Share of travel by which the needle itself must swing to be seen flapping; common practice, no source. */
    private static final double SEEN_SWING = 0.01;
    /** Where two senders' frames move past each other the needle swings widely at times and hardly at others. */
    private static final double SEEN_OFTEN = 0.1;
    /** Share of travel by which a steady needle must be off; common practice, no source. */
    private static final double WRONG_SHARE = 0.05;
    private static final int LEAST_REVERSALS = 4;
    private static final double LEAST_PER_MINUTE = 2;

    private final Gauge gauge;
    private final Facts facts;
    private final SignalSeries series;
    private final String unit;

    GaugeJudge(Gauge gauge, Facts facts) {
        this.gauge = gauge;
        this.facts = facts;
        series = facts.series();
        unit = gauge.signal().unit();
    }

    /**
     * What the needle itself does, in shares of its travel.
     *
     * @param seen   swings from one reversal to the next that a driver sees
     * @param large  swing that nine in ten of all do not exceed
     * @param low    lowest place after it has first settled
     * @param high   highest
     * @param wander how much farther it gets about than any one sender's own values move it
     */
    private record Swing(int seen, double large, double low, double high, double wander) {}

    private record Level(double value, double spread) {}

    InstrumentFinding judge() {
        if (series.samples == 0) {
            boolean drops = !Double.isNaN(gauge.timeoutShare());
            boolean quiet = series.arrivals == 0 && series.damaged == 0 && gauge.message().onEvent();
            Symptom symptom = quiet ? Symptom.NONE : drops ? Symptom.DROPPED_OUT : Symptom.HELD;
            return finding(symptom, quiet ? Cause.NONE : Absence.causeOfNever(facts), List.of(),
                    Absence.neverTold(facts));
        }
        Jumps jumps = facts.jumps();
        List<Level> levels = levels();
        Swing swing = swing();
        int least = facts.verdict() == Verdict.TWO_SENDERS ? 2 : LEAST_REVERSALS;
        boolean often = jumps.reversals >= least && facts.reversalsPerMinute() >= LEAST_PER_MINUTE;
        boolean follows = facts.turnsFollowSenders();
        boolean seen = swing.seen() >= Math.max(2, SEEN_OFTEN * jumps.reversals)
                || follows && swing.wander() >= WRONG_SHARE;
        if (often && seen && (jumps.standApart || follows)) {
            Cause cause = facts.causeOfTurns();
            return finding(Symptom.FLAPPING, cause, levels, flaps(levels, swing, cause));
        }
        int dropped = visibleTimeOuts();
        if (dropped > 0) {
            Cause cause = Absence.causeOfTimeOuts(facts);
            String shows = "fell to " + Words.percent(gauge.timeoutShare()) + " of its travel";
            return finding(Symptom.DROPPED_OUT, cause, levels, Absence.timedOut(facts, dropped, shows, cause));
        }
        List<Silences.Silence> silences = facts.longSilences();
        if (!silences.isEmpty()) {
            Cause cause = Silences.mainCause(silences);
            return finding(Symptom.HELD, cause, levels, Absence.held(facts, silences, cause));
        }
        String frozen = frozenByCollisions();
        if (frozen != null) return finding(Symptom.HELD, Cause.DAMAGED_BY_TWO_SENDERS, levels, frozen);
        String wrong = steadilyWrong();
        if (wrong != null) return finding(Symptom.STEADILY_WRONG, Cause.TWO_SENDERS, levels, wrong);
        String still = StillNeedle.sentence(gauge, facts);
        if (still != null) return finding(Symptom.NONE, Cause.TWO_SENDERS, levels, still);
        return finding(Symptom.NONE, Cause.NONE, levels, calm());
    }

    private InstrumentFinding finding(Symptom symptom, Cause cause, List<Level> levels, String says) {
        List<Double> values = levels.stream().map(Level::value).toList();
        double swing = values.isEmpty() ? 0 : values.get(values.size() - 1) - values.get(0);
        return facts.finding(false, symptom, cause, values, swing, Double.NaN, says);
    }

    /** Medians of what stands on either side of the jumps: by sender where the turns follow the senders. */
    private List<Level> levels() {
        int[] at = facts.jumps().at;
        if (at.length == 0) return List.of();
        Map<Integer, List<Double>> groups = new TreeMap<>();
        boolean bySender = facts.turnsFollowSenders();
        for (int k : at) {
            boolean up = series.value[k] > series.value[k - 1];
            for (int i = k - 1; i <= k; i++) {
                int group = bySender ? series.sender[i] : (i == k) == up ? 1 : 0;
                if (group >= 0) groups.computeIfAbsent(group, g -> new ArrayList<>()).add(series.value[i]);
            }
        }
        List<Level> out = new ArrayList<>();
        for (List<Double> group : groups.values()) {
            double[] values = group.stream().mapToDouble(Double::doubleValue).toArray();
            out.add(new Level(Robust.median(values), Robust.spread(values)));
        }
        out.sort((a, b) -> Double.compare(a.value(), b.value()));
        return out;
    }

    private Swing swing() {
        int[] reversals = facts.jumps().reversalsAt();
        Trace trace = facts.played().trace();
        double[] swings = new double[reversals.length];
        int count = 0;
        int seen = 0;
        int place = 0;
        double before = Double.NaN;
        int previous = -1;
        for (int k : reversals) {
            while (place < trace.atSeconds().length && (trace.atSeconds()[place] < series.at[k]
                    || Float.isNaN(trace.told()[place]))) place++;
            double shown = trace.shown()[place];
            boolean joined = previous >= 0;
            for (int i = previous + 1; joined && i <= k; i++) joined = !series.fresh[i];
            if (joined) {
                swings[count++] = Math.abs(shown - before);
                if (Math.abs(shown - before) >= SEEN_SWING) seen++;
            }
            before = shown;
            previous = k;
        }
        double large = count == 0 ? 0 : Robust.quantile(Arrays.copyOf(swings, count), 0.9);
        double[] range = shownRange(trace);
        return new Swing(seen, large, range[0], range[1], range[1] - range[0] - widestSender());
    }

    /** Lowest and highest place shown, the first settling after the start or a gap left out; both NaN for none. */
    private double[] shownRange(Trace trace) {
        double low = Double.NaN;
        double high = Double.NaN;
        double from = trace.atSeconds()[0] + 2 * gauge.settlesSeconds();
        for (int i = 0; i < trace.shown().length; i++) {
            double shown = trace.shown()[i];
            if (Double.isNaN(shown) && i + 1 < trace.shown().length) {
                from = trace.atSeconds()[i + 1] + 2 * gauge.settlesSeconds();
            }
            if (Double.isNaN(shown) || trace.atSeconds()[i] < from) continue;
            low = Double.isNaN(low) ? shown : Math.min(low, shown);
            high = Double.isNaN(high) ? shown : Math.max(high, shown);
        }
        return new double[] {low, high};
    }

    /** The widest range that the frames of one sender alone ask for. */
    private double widestSender() {
        Map<Integer, double[]> ranges = new TreeMap<>();
        for (int k = 0; k < series.samples; k++) {
            double share = gauge.shareOf(series.value[k]);
            double[] range = ranges.computeIfAbsent(series.sender[k], s -> new double[] {share, share});
            range[0] = Math.min(range[0], share);
            range[1] = Math.max(range[1], share);
        }
        double widest = 0;
        for (Map.Entry<Integer, double[]> e : ranges.entrySet()) {
            if (e.getKey() >= 0) widest = Math.max(widest, e.getValue()[1] - e.getValue()[0]);
        }
        return widest;
    }

    private String flaps(List<Level> levels, Swing swing, Cause cause) {
        Jumps jumps = facts.jumps();
        SenderChange change = facts.change();
        StringBuilder text = new StringBuilder("The ").append(gauge.name()).append(" is told ");
        for (int i = 0; i < levels.size(); i++) {
            if (i > 0) text.append(i + 1 < levels.size() ? ", " : " and ");
            text.append(Words.value(levels.get(i).value(), levels.get(i).spread(), unit));
        }
        text.append(" in turn: ").append(jumps.reversals).append(" sudden turns in ")
                .append(Words.seconds(series.watchedSeconds())).append(" (")
                .append(Words.number(facts.reversalsPerMinute())).append(" a minute) that swing the needle by up to ")
                .append(Words.percent(swing.large())).append(" of its travel; it gets about between ")
                .append(Words.percent(swing.low())).append(" and ").append(Words.percent(swing.high()));
        if (!jumps.rateKnown()) text.append(", judged by the signal's own usual steps as no rate is documented");
        switch (cause) {
            case TWO_SENDERS -> text.append("; ").append(Words.percent(change.share()))
                    .append(" of them come with a change of sender, where chance would give ")
                    .append(Words.percent(change.chance(), change.error()));
            case OWN_READING -> text.append("; ").append(change.known() == 0 || change.share() == 0
                    ? "they lie within the frames of one sender, whose own reading jumps"
                    : "they come with a change of sender no more often (" + Words.percent(change.share())
                    + ") than chance gives (" + Words.percent(change.chance(), change.error())
                    + "), so a sender's own reading jumps");
            case RESTARTS -> text.append("; they follow restarts of its one sender");
            default -> text.append(facts.undecidedBecause());
        }
        return text.append('.').toString();
    }

    /** Whole frames never move the needle, but one sender's frames that collided would have; else null. */
    private String frozenByCollisions() {
        if (facts.verdict() != Verdict.TWO_SENDERS) return null;
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (int k = 0; k < series.samples; k++) {
            low = Math.min(low, series.value[k]);
            high = Math.max(high, series.value[k]);
        }
        if (gauge.shareOf(high) - gauge.shareOf(low) >= Jumps.VISIBLE_SHARE) return null;
        double farthest = Double.NaN;
        double away = WRONG_SHARE;
        for (double value : facts.meant()) {
            double share = Math.abs(gauge.shareOf(value) - gauge.shareOf(high));
            if (share < away) continue;
            away = share;
            farthest = value;
        }
        if (Double.isNaN(farthest)) return null;
        return "The " + gauge.name() + " stood still at " + Words.value(high, unit) + " although a second sender meant "
                + Words.value(farthest, unit) + ": its frames were damaged by frames of the other, and none that "
                + "says so got through.";
    }

    private int visibleTimeOuts() {
        if (Double.isNaN(gauge.timeoutShare())) return 0;
        Trace trace = facts.played().trace();
        int count = 0;
        for (int i = 0; i < trace.told().length; i++) {
            if (Float.isNaN(trace.told()[i]) && !facts.silences().asleepAt(trace.atSeconds()[i])
                    && Math.abs(trace.shown()[i] - gauge.timeoutShare()) >= Jumps.VISIBLE_SHARE) count++;
        }
        return count;
    }

    /** A sentence where two senders leave the needle steady at nobody's value, or at the wrong node's; else null. */
    private String steadilyWrong() {
        if (facts.verdict() != Verdict.TWO_SENDERS) return null;
        Map<Integer, double[]> sums = new TreeMap<>();
        for (int k = 0; k < series.samples; k++) {
            if (series.sender[k] < 0) continue;
            double[] sum = sums.computeIfAbsent(series.sender[k], s -> new double[3]);
            sum[0] += gauge.shareOf(series.value[k]);
            sum[1] += series.value[k];
            sum[2]++;
        }
        if (sums.size() < 2) return null;
        double shown = facts.played().meanShown();
        boolean matchesNone = true;
        StringBuilder told = new StringBuilder();
        for (Map.Entry<Integer, double[]> e : sums.entrySet()) {
            Sender sender = facts.clashes().senders().get(e.getKey());
            double share = e.getValue()[0] / e.getValue()[2];
            String value = Words.value(e.getValue()[1] / e.getValue()[2], unit);
            if (Math.abs(share - shown) < WRONG_SHARE) matchesNone = false;
            else if (gauge.message().from().size() == 1 && gauge.message().from().get(0).equals(sender.name())) {
                return "The " + gauge.name() + " stands at " + Words.percent(shown) + " of its travel, but "
                        + sender.title() + ", its documented sender, says " + value + " (" + Words.percent(share)
                        + "): another sender of " + Words.message(series.key) + " outvotes it.";
            }
            told.append(told.isEmpty() ? "" : ", ").append(sender.title()).append(" says ").append(value).append(" (")
                    .append(Words.percent(share)).append(')');
        }
        if (!matchesNone) return null;
        return "The " + gauge.name() + " stands at " + Words.percent(shown) + " of its travel, which is nobody's value"
                + ": " + told + ", too fast in turn for the needle to follow.";
    }

    private String calm() {
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (int k = 0; k < series.samples; k++) {
            low = Math.min(low, series.value[k]);
            high = Math.max(high, series.value[k]);
        }
        String range = Words.number(low).equals(Words.number(high)) ? "was told " + Words.value(low, unit) + " throughout"
                : "was told " + Words.number(low) + " to " + Words.value(high, unit);
        int turns = facts.jumps().reversals;
        return "The " + gauge.name() + " " + range + (turns == 0 ? ", with no sudden turn"
                : ", with " + turns + " sudden turn" + (turns == 1 ? "" : "s") + " too few or small to see flapping")
                + (facts.jumps().rateKnown() ? "." : " (no rate documented, judged by its own usual steps).");
    }
}
