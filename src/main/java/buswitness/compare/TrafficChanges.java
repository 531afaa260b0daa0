package buswitness.compare;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;

/** Messages, who sends them, periods, clocks, damage and load. */
final class TrafficChanges {
    /** One crystal against itself on another day or in another place (common practice, no source), ppm. */
    private static final double CLOCK_SYSTEM_PPM = 3;
    /** Below this a period says something of clocks, which are compared by themselves. */
    private static final double PERIOD_SYSTEM = 1e-4;
    private static final double LOAD_SYSTEM = 0.001;
    /** Damaged frames closer than this are one disturbance with its retries. */
    private static final double EPISODE_SECONDS = 0.05;

    /** Nominal rates differ by far more, oscillators by far less. */
    private static final double RATE_STEP = 0.02;

    private final RecordingPair pair;

    TrafficChanges(RecordingPair pair) {
        this.pair = pair;
    }

    void addTo(List<Change> out) {
        bus(out);
        for (long key : pair.keys()) {
            double[] a = RecordingPair.starts(pair.before, key);
            double[] b = RecordingPair.starts(pair.after, key);
            if (a.length == 0 || b.length == 0) {
                out.add(presence(key, a, b));
                continue;
            }
            senders(key, out);
            periods(key, a, b, out);
        }
        new SenderMoves(pair).addTo(out);
        clocks(out);
        boolean wire = pair.before.bus().wire() && pair.after.bus().wire();
        if (!wire) return;
        damage(out);
        load(out);
    }

    /** Which bus it is and how fast; recordings of two buses are said to be so before their messages are told apart. */
    private void bus(List<Change> out) {
        String a = pair.before.bus().recognition().title();
        String b = pair.after.bus().recognition().title();
        if (!pair.before.bus().coding().equals(pair.after.bus().coding())) {
            out.add(Change.told(Kind.BUS, "the bus", "", a, b, Standing.CHANGED, "these are no recordings of one bus"));
            return;
        }
        double first = pair.before.bus().bitsPerSecond();
        double second = pair.after.bus().bitsPerSecond();
        if (Math.abs(second / first - 1) > RATE_STEP) {
            out.add(Change.told(Kind.BUS, "bit rate", "", Words.with(first / 1000, "kbit/s"), Words.with(second / 1000, "kbit/s"),
                    Standing.CHANGED, "nodes of two rates cannot share a bus"));
        }
    }

    /** In how many blocks of time a message was there: whole seconds, or three of its periods where that is longer. */
    private Change presence(long key, double[] a, double[] b) {
        boolean came = a.length == 0;
        double[] there = came ? b : a;
        Findings with = came ? pair.after : pair.before;
        Findings without = came ? pair.before : pair.after;
        double[] gaps = new double[Math.max(0, there.length - 1)];
        for (int i = 0; i < gaps.length; i++) gaps[i] = there[i + 1] - there[i];
        double block = Math.max(1, gaps.length > 2 ? 3 * Robust.median(gaps) : 1);
        Set<Long> marked = new HashSet<>();
        for (double t : there) marked.add((long) (t / block));
        int own = Math.max(marked.size(), (int) Math.ceil(RecordingPair.seconds(with) / block));
        int other = (int) Math.floor(RecordingPair.seconds(without) / block);
        double chance = Chance.allOnOneSide(marked.size(), own, other);
        String seen = there.length + (there.length == 1 ? " frame" : " frames") + " in " + Words.with(RecordingPair.seconds(with), "s");
        String none = "none in " + Words.with(RecordingPair.seconds(without), "s");
        boolean cyclic = RecordingPair.main(with, key) != null;
        return new Change(Kind.MESSAGES, pair.title(key), pair.title(key), came ? none : seen, came ? seen : none, Double.NaN,
                Double.NaN, "", chance, came ? Standing.CAME : Standing.WENT, cyclic ? Origin.BUS : Origin.DRIVE, "heard in "
                + marked.size() + " of " + own + " stretches of " + Words.with(block, "s") + ", and in none of " + other
                + (cyclic ? "" : "; sent on events, not on a schedule"));
    }

    private void senders(long key, List<Change> out) {
        MessageFinding a = pair.before.clashes().message(key);
        MessageFinding b = pair.after.clashes().message(key);
        if (a == null || b == null) return;
        if (a.verdict() == b.verdict() && a.verdict() != Verdict.UNDECIDED) {
            out.add(Change.told(Kind.SENDERS, pair.title(key), pair.title(key), a.verdict().text(), b.verdict().text(),
                    Standing.SAME, ""));
            return;
        }
        if (a.verdict() == Verdict.UNDECIDED || b.verdict() == Verdict.UNDECIDED) {
            // Undecided both times is no difference anybody could see.
            Standing standing = a.verdict() == b.verdict() ? Standing.SAME : Standing.UNDECIDED;
            MessageFinding open = b.verdict() == Verdict.UNDECIDED ? b : a;
            out.add(Change.told(Kind.SENDERS, pair.title(key), pair.title(key), a.verdict().text(), b.verdict().text(), standing,
                    open.wanted() == null ? "" : open.wanted()));
            return;
        }
        MessageFinding two = a.verdict() == Verdict.TWO_SENDERS ? a : b;
        // A likelihood ratio of r is exceeded by chance at most once in r times (J. Ville, 1939). That the other recording
        // shows one sender is a verdict of its own, and the weaker of the two.
        double chance = Math.min(1, Math.pow(10, -two.strength()));
        out.add(new Change(Kind.SENDERS, pair.title(key), pair.title(key), a.verdict().text(), b.verdict().text(), Double.NaN,
                Double.NaN, "", chance, Standing.CHANGED, Origin.BUS, "two explain that recording 10^"
                + Words.number(Math.rint(two.strength() * 10) / 10) + " times better than one; 'one sender' in the other is the"
                + " weaker verdict"));
    }

    private void periods(long key, double[] a, double[] b, List<Change> out) {
        Track[] both = nearest(key);
        Track first = both[0];
        Track second = both[1];
        if (first != null && second != null) {
            double d = second.periodSeconds() - first.periodSeconds();
            double system = PERIOD_SYSTEM * first.periodSeconds();
            double error = Math.sqrt(square(first.periodErrorSeconds()) + square(second.periodErrorSeconds()) + system * system);
            out.add(new Change(Kind.PERIODS, pair.title(key), pair.title(key), "every " + Words.within(first.periodSeconds() * 1e3,
                    first.periodErrorSeconds() * 1e3, "ms"), "every " + Words.within(second.periodSeconds() * 1e3,
                    second.periodErrorSeconds() * 1e3, "ms"), d * 1e3, error * 1e3, "ms", Chance.normal(d, error),
                    Standing.CHANGED, Origin.BUS, "the error holds 100 ppm for the clocks"));
            return;
        }
        if (first == null && second == null) {
            out.add(rate(Kind.PERIODS, pair.title(key), pair.title(key), episodes(a, 1), episodes(b, 1), "bursts a minute",
                    Origin.DRIVE));
        } else {
            out.add(Change.told(Kind.PERIODS, pair.title(key), pair.title(key), first == null ? "on events" : "cyclic",
                    second == null ? "on events" : "cyclic", Standing.UNDECIDED,
                    "its frames lie on a schedule in one recording only: record longer"));
        }
    }

    /**
     * The schedules to hold against each other: the main ones, or where several keep a message going, which of them has the most
     * frames is chance, those whose periods are nearest.
     */
    private Track[] nearest(long key) {
        Track[] best = {RecordingPair.main(pair.before, key), RecordingPair.main(pair.after, key)};
        if (best[0] == null || best[1] == null) return best;
        for (Track a : RecordingPair.schedules(pair.before, key)) {
            for (Track b : RecordingPair.schedules(pair.after, key)) {
                if (Math.abs(b.periodSeconds() - a.periodSeconds()) < Math.abs(best[1].periodSeconds() - best[0].periodSeconds())) {
                    best = new Track[] {a, b};
                }
            }
        }
        return best;
    }

    /** Clocks of senders that send most of the same messages; what all have in common is the recorder's. */
    private void clocks(List<Change> out) {
        List<Sender[]> matched = matched();
        double[] shifts = matched.stream().mapToDouble(m -> m[1].clockPpm() - m[0].clockPpm()).toArray();
        boolean common = shifts.length >= 3;
        double shift = common ? Robust.median(shifts) : 0;
        for (Sender[] m : matched) {
            double d = m[1].clockPpm() - m[0].clockPpm() - shift;
            double error = Math.sqrt(square(m[0].clockPpmError()) + square(m[1].clockPpmError()) + square(CLOCK_SYSTEM_PPM));
            String who = m[1].name() != null ? m[1].name() : m[0].name() != null ? m[0].name()
                    : "sender " + m[0].label() + " before, " + m[1].label() + " after";
            out.add(new Change(Kind.CLOCKS, who, "", Words.within(m[0].clockPpm(), m[0].clockPpmError(), "ppm"),
                    Words.within(m[1].clockPpm(), m[1].clockPpmError(), "ppm"), d, error, "ppm", Chance.normal(d, error),
                    Standing.CHANGED, Origin.BUS, (common ? "less " + Words.with(Math.rint(shift * 100) / 100, "ppm")
                    + " that all share, which is the recorder's; " : "") + "the error holds 3 ppm for warmth"));
        }
    }

    /**
     * Senders of both that send most of the same messages, each once. Two that share one message look alike by what they send:
     * those whose clocks are nearest are taken for the same, which may miss a difference and invents none.
     */
    private List<Sender[]> matched() {
        List<Sender[]> pairs = new ArrayList<>();
        for (Sender a : pair.before.clashes().senders()) {
            for (Sender b : pair.after.clashes().senders()) {
                boolean strangers = a.name() != null && b.name() != null && !a.name().equals(b.name());
                if (alike(a, b) > 0.5 && !strangers && !Double.isNaN(a.clockPpm()) && !Double.isNaN(b.clockPpm())) {
                    pairs.add(new Sender[] {a, b});
                }
            }
        }
        pairs.sort(Comparator.comparingDouble((Sender[] p) -> -alike(p[0], p[1]))
                .thenComparingDouble(p -> Math.abs(p[1].clockPpm() - p[0].clockPpm())));
        Set<Sender> taken = Collections.newSetFromMap(new IdentityHashMap<>());
        List<Sender[]> out = new ArrayList<>();
        for (Sender[] p : pairs) {
            if (taken.contains(p[0]) || taken.contains(p[1])) continue;
            taken.addAll(List.of(p));
            out.add(p);
        }
        return out;
    }

    /** Share of the messages of either that both send. */
    private static double alike(Sender a, Sender b) {
        Set<Long> both = new HashSet<>(a.keys());
        both.retainAll(b.keys());
        Set<Long> any = new HashSet<>(a.keys());
        any.addAll(b.keys());
        return any.isEmpty() ? 0 : (double) both.size() / any.size();
    }

    private void damage(List<Change> out) {
        if (RecordingPair.coarse(pair.before) || RecordingPair.coarse(pair.after)) return;
        out.add(rate(Kind.DAMAGE, "disturbed moments", "", episodes(damaged(pair.before), EPISODE_SECONDS),
                episodes(damaged(pair.after), EPISODE_SECONDS), "a minute", Origin.BUS));
    }

    private Change rate(Kind kind, String subject, String message, double[] a, double[] b, String unit, Origin origin) {
        return Rates.compared(kind, subject, message, new Rates.Counted(a.length, a, pair.before),
                new Rates.Counted(b.length, b, pair.after), unit, origin);
    }

    private static double[] damaged(Findings f) {
        FrameLog log = f.frames();
        double[] at = new double[log.size()];
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.fault(i).isDamage()) at[n++] = log.startSeconds(i);
        }
        return Arrays.copyOf(at, n);
    }

    /** Beginnings of what lies closer together. */
    private static double[] episodes(double[] at, double apart) {
        return IntStream.range(0, at.length).filter(i -> i == 0 || at[i] - at[i - 1] > apart).mapToDouble(i -> at[i]).toArray();
    }

    private void load(List<Change> out) {
        Blocks a = busy(pair.before);
        Blocks b = busy(pair.after);
        if (a == null || b == null) return;
        double[] error = Blocks.together(a, b, LOAD_SYSTEM);
        double d = b.mean() - a.mean();
        out.add(new Change(Kind.LOAD, "bus load", "", Words.within(a.mean() * 100, a.error() * 100, "%"),
                Words.within(b.mean() * 100, b.error() * 100, "%"), d * 100, error[0] * 100, "%",
                Chance.student(d, error[0], error[1]), Standing.CHANGED, Origin.DRIVE,
                "the error holds 0.1\u00A0% for stuff bits of other values"));
    }

    /** Share of time with a frame on the wire, second by second. */
    private static Blocks busy(Findings f) {
        int seconds = (int) Math.floor(RecordingPair.end(f));
        if (seconds < 12) return null;
        double[] share = new double[seconds];
        for (int i = 0; i < f.frames().size(); i++) {
            int s = (int) f.frames().startSeconds(i);
            if (s < seconds) share[s] += (f.frames().endPicos(i) - f.frames().startPicos(i)) * 1e-12;
        }
        return Blocks.of(share, seconds);
    }

    private static double square(double x) {
        return x * x;
    }
}
