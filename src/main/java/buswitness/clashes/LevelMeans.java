package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.LevelSeries.Apart;
import buswitness.frames.FrameLog;
import buswitness.senders.ClockGroup;
import buswitness.senders.SenderFindings;
import buswitness.senders.Track;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/**
 * How far the line steps to dominant in two trains of one message: each transmitter has its own step. A supply that dips, a
 * ground that warms, a load that is switched, and a tap behind a capacitor move levels too, so trains are compared at the
 * same times, and a difference counts as strong only where those are refuted: it is there in either half, no sender's other
 * messages move with it, both trains are periodic, and messages of one node differ by less, which is learned from this
 * recording. It is one kind of evidence with the other wire evidence, and never proves by itself.
 */
final class LevelMeans {
    private static final double COUNTS = 4;
    private static final double HALF_COUNTS = 2.5;
    private static final double ALIKE = 2;
    private static final double MOVES = 4;
    private static final double MOVES_SHARE = 0.3;
    private static final double OWN_AGREES = 3;
    private static final double OWN_DIFFERS = 5;
    private static final double NEAR_SECONDS = 0.02;
    /** Differences below this share of the step are not believed, whatever the recording shows (own choice). */
    private static final double LEAST_SHARE = 0.003;
    private static final double FINE_SHARE = 0.01;
    private static final int FEWEST_PAIRS = 2;
    /** Not refuted in full: short of {@link Strength#STRONG}, so that it is no kind of evidence of its own. */
    private static final double OPEN = Strength.STRONG - 0.5;
    private static final double SPEAKS_AGAINST = -0.5;

    private final FrameLog log;
    private final SenderFindings findings;
    private final String unit;
    private final double floor;
    private final boolean floorKnown;
    /** Frames of the messages with one train, by the clock group they belong to. */
    private final Map<Integer, LevelSeries> ofGroup = new TreeMap<>();

    private LevelMeans(FrameLog log, SenderFindings findings, List<MessageView> views) {
        this.log = log;
        this.findings = findings;
        this.unit = log.levels().unit();
        List<double[]> pairs = new ArrayList<>();
        double[] steps = new double[log.size()];
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            float swing = log.levels().swing(i);
            if (!Float.isNaN(swing)) steps[n++] = Math.abs(swing);
        }
        double usual = n == 0 ? 0 : Robust.median(steps, n);
        for (ClockGroup group : findings.groups()) {
            List<int[]> own = new ArrayList<>();
            for (MessageView view : views) {
                if (view.tracks.size() != 1 || view.tracks.get(0).group() != group.index()) continue;
                own.add(view.framesOf(view.tracks.get(0)));
            }
            for (int i = 0; i < own.size(); i++) {
                for (int j = i + 1; j < own.size(); j++) {
                    Apart apart = LevelSeries.of(log, own.get(i)).from(LevelSeries.of(log, own.get(j)));
                    if (apart != null) pairs.add(new double[] {apart.mean() * apart.mean(), apart.error() * apart.error()});
                }
            }
            int[] all = own.stream().flatMapToInt(Arrays::stream).sorted().toArray();
            if (all.length > 0) ofGroup.put(group.index(), LevelSeries.of(log, all));
        }
        floorKnown = pairs.size() >= FEWEST_PAIRS;
        floor = Math.max(LEAST_SHARE * usual, WireMeans.floor(pairs));
    }

    /** Learns how much messages of one node differ. @return null where the recording holds no voltages */
    static LevelMeans learn(List<MessageView> views, FrameLog log, SenderFindings findings) {
        return log.levels() == null ? null : new LevelMeans(log, findings, views);
    }

    /** The wire's word on two trains with that of the levels: one kind of evidence, counted once. */
    Evidence join(Evidence bits, MessageView view, Track a, Track b) {
        Evidence levels = compare(view, a, b);
        if (levels == null || bits == null) return levels == null ? bits : levels;
        boolean agree = bits.strength() >= 0 && levels.strength() >= 0 || bits.strength() < 0 && levels.strength() < 0;
        double strength = !agree ? bits.strength() + levels.strength()
                : bits.strength() < 0 ? Math.min(bits.strength(), levels.strength())
                : Math.max(bits.strength(), levels.strength());
        List<Figure> figures = new ArrayList<>(bits.figures());
        figures.addAll(levels.figures());
        return new Evidence(Kind.WIRE, bits.says() + " " + levels.says(), strength,
                Math.min(bits.fromSeconds(), levels.fromSeconds()), Math.max(bits.untilSeconds(), levels.untilSeconds()),
                Math.max(bits.frames(), levels.frames()), bits.conclusive(), figures);
    }

    /** Null where too few frames show their levels, or these lie between alike and different. */
    Evidence compare(MessageView view, Track a, Track b) {
        LevelSeries first = LevelSeries.of(log, view.framesOf(a));
        LevelSeries second = LevelSeries.of(log, view.framesOf(b));
        Apart apart = second.from(first);
        if (apart == null) return null;
        double error = Math.sqrt(apart.error() * apart.error() + 2 * floor * floor);
        double z = Math.abs(apart.mean()) / error;
        String figures = Say.text("the line steps to dominant by %s against %s (%s apart, taken at the same times; messages"
                + " of one node differ by up to %s here%s)", level(first), level(second),
                volts(Math.abs(apart.mean()), error), volts(floor),
                floorKnown ? "" : ", which could not be learned and is taken for granted");
        double from = Math.min(a.fromSeconds(), b.fromSeconds());
        double until = Math.max(a.untilSeconds(), b.untilSeconds());
        List<Figure> numbers = numbers(first, second, apart);
        if (z <= COUNTS) {
            boolean fine = error <= FINE_SHARE * Math.abs(first.mean()) && alike(apart.early(), apart.earlyError())
                    && alike(apart.late(), apart.lateError());
            return z >= ALIKE || !fine ? null : new Evidence(Kind.WIRE, "The levels are alike: " + figures
                    + ". Two nodes may well share a level.", SPEAKS_AGAINST, from, until, apart.frames(), false, numbers);
        }
        String doubt = doubt(view, a, b, first, second, apart);
        double strength = Strength.ofDeviation(z);
        String says = "The levels differ: " + figures + Say.text(", %.0f standard errors; of single frames %s tell it by"
                + " themselves. ", z, Say.share((int) Math.round(apart.told() * apart.frames()), apart.frames()));
        if (!doubt.isEmpty()) return new Evidence(Kind.WIRE, says + doubt, Math.min(OPEN, strength), from, until,
                apart.frames(), false, numbers);
        return new Evidence(Kind.WIRE, says + "It is so in either half, and no sender's other messages move with it, so"
                + " neither supply, warmth nor load explains it" + (own(a, b, first, second) > 0
                ? "; each schedule has the level of the other messages on its clock." : "."), strength, from, until,
                apart.frames(), false, numbers);
    }

    /** Also within a half of the time: levels that cross are not alike. */
    private boolean alike(double mean, double error) {
        return Math.abs(mean) < ALIKE * Math.sqrt(error * error + 2 * floor * floor);
    }

    /** What could move the levels of one node so, and is not refuted; empty where all is. */
    private String doubt(MessageView view, Track a, Track b, LevelSeries first, LevelSeries second, Apart apart) {
        if (!a.cyclic() || !b.cyclic()) {
            return "But one of them is sent on events, perhaps just when a load is switched.";
        }
        double sign = Math.signum(apart.mean());
        boolean early = apart.early() * sign > HALF_COUNTS * apart.earlyError();
        boolean late = apart.late() * sign > HALF_COUNTS * apart.lateError();
        if (!early || !late) {
            return "But it is not the same in both halves: warmth or a bad ground may move the levels.";
        }
        if (!floorKnown) return "But no sender has messages enough to tell how much those of one node differ.";
        if (movesWithOthers(view, first, second, apart)) {
            return "But other messages move alike at these times: a load or the supply may move the levels.";
        }
        return own(a, b, first, second) < 0
                ? "But the messages on the same clocks do not have these levels: something else moves them." : "";
    }

    /** Whether frames of other messages, sent close to those of either train, differ in the same way. */
    private boolean movesWithOthers(MessageView view, LevelSeries first, LevelSeries second, Apart apart) {
        for (LevelSeries others : ofGroup.values()) {
            Apart moved = near(others, second, view.key).from(near(others, first, view.key));
            if (moved != null && Math.abs(moved.mean()) > MOVES * moved.error()
                    && moved.mean() * Math.signum(apart.mean()) > MOVES_SHARE * Math.abs(apart.mean())) {
                return true;
            }
        }
        return false;
    }

    /** For each frame of a train the nearest frame of others within reach, against the mean of its message. */
    private LevelSeries near(LevelSeries others, LevelSeries train, long key) {
        Map<Long, double[]> sums = new TreeMap<>();
        for (int i = 0; i < others.count; i++) {
            double[] s = sums.computeIfAbsent(log.key(others.frame[i]), k -> new double[2]);
            s[0]++;
            s[1] += others.swing[i];
        }
        sums.remove(key);
        double[] at = new double[train.count];
        double[] values = new double[train.count];
        int n = 0;
        int k = 0;
        for (int i = 0; i < train.count && others.count > 0; i++) {
            double when = train.at[i];
            while (k + 1 < others.count && Math.abs(others.at[k + 1] - when) <= Math.abs(others.at[k] - when)) k++;
            double[] s = sums.get(log.key(others.frame[k]));
            if (s == null || Math.abs(others.at[k] - train.at[i]) > NEAR_SECONDS) continue;
            at[n] = train.at[i];
            values[n++] = others.swing[k] - s[1] / s[0];
        }
        return LevelSeries.of(at, values, n);
    }

    /** 1 where each train has the level of the other messages on its clock, -1 where one clearly has not, else 0. */
    private int own(Track a, Track b, LevelSeries first, LevelSeries second) {
        if (a.group() < 0 || b.group() < 0 || a.group() == b.group()) return 0;
        double toFirst = deviation(first, ofGroup.get(a.group()));
        double toSecond = deviation(second, ofGroup.get(b.group()));
        if (toFirst > OWN_DIFFERS || toSecond > OWN_DIFFERS) return -1;
        return toFirst < OWN_AGREES && toSecond < OWN_AGREES ? 1 : 0;
    }

    private double deviation(LevelSeries train, LevelSeries group) {
        Apart apart = group == null ? null : train.from(group);
        if (apart == null) return Double.NaN;
        return Math.abs(apart.mean()) / Math.sqrt(apart.error() * apart.error() + 2 * floor * floor);
    }

    private List<Figure> numbers(LevelSeries first, LevelSeries second, Apart apart) {
        String u = "_" + unit.toLowerCase(Locale.ROOT);
        return List.of(new Figure("level_step_first" + u, Math.abs(first.mean())),
                new Figure("level_step_first_error" + u, first.meanError()),
                new Figure("level_step_second" + u, Math.abs(second.mean())),
                new Figure("level_step_second_error" + u, second.meanError()),
                new Figure("level_difference" + u, apart.mean() * Math.signum(first.mean())),
                new Figure("level_difference_error" + u, apart.error()), new Figure("level_floor" + u, floor),
                new Figure("level_told_share", apart.told()));
    }

    private String level(LevelSeries series) {
        return volts(Math.abs(series.mean()), series.meanError());
    }

    /** With one standard error, to its second figure. */
    private String volts(double value, double error) {
        int digits = error > 0 ? Math.max(0, Math.min(9, 1 - (int) Math.floor(Math.log10(error)))) : 4;
        return Say.text("%." + digits + "f +/- %." + digits + "f %s", value, error, word());
    }

    private String volts(double value) {
        int digits = value > 0 ? Math.max(0, Math.min(9, 1 - (int) Math.floor(Math.log10(value)))) : 4;
        return Say.text("%." + digits + "f %s", value, word());
    }

    private String word() {
        return unit.equals("FS") ? "of full scale" : unit;
    }
}
