package buswitness.compare;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Standing;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Messages, who sends them, periods, clocks, damage and load. */
final class TrafficChanges {
    /** One crystal against itself on another day or in another place (common practice, no source), ppm. */
    private static final double CLOCK_SYSTEM_PPM = 3;
    /** Below this a period says something of clocks, which are compared by themselves. */
    private static final double PERIOD_SYSTEM = 1e-4;
    private static final double LOAD_SYSTEM = 0.001;
    /** Damaged frames closer than this are one disturbance with its retries. */
    private static final double EPISODE_SECONDS = 0.05;

    private final RecordingPair pair;

    TrafficChanges(RecordingPair pair) {
        this.pair = pair;
    }

    void addTo(List<Change> out) {
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
        clocks(out);
        boolean wire = pair.before.bus().wire() && pair.after.bus().wire();
        if (!wire) return;
        damage(out);
        load(out);
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
        return new Change(Kind.MESSAGES, pair.title(key), came ? none : seen, came ? seen : none, Double.NaN, Double.NaN, "",
                chance, came ? Standing.CAME : Standing.WENT, "heard in " + marked.size() + " of " + own
                + " stretches of " + Words.with(block, "s") + ", and in none of " + other);
    }

    private void senders(long key, List<Change> out) {
        MessageFinding a = pair.before.clashes().message(key);
        MessageFinding b = pair.after.clashes().message(key);
        if (a == null || b == null) return;
        if (a.verdict() == b.verdict() && a.verdict() != Verdict.UNDECIDED) {
            out.add(new Change(Kind.SENDERS, pair.title(key), a.verdict().text(), b.verdict().text(), Double.NaN, Double.NaN, "",
                    Double.NaN, Standing.SAME, ""));
            return;
        }
        if (a.verdict() == Verdict.UNDECIDED || b.verdict() == Verdict.UNDECIDED) {
            // Undecided both times is no difference anybody could see.
            Standing standing = a.verdict() == b.verdict() ? Standing.SAME : Standing.UNDECIDED;
            MessageFinding open = b.verdict() == Verdict.UNDECIDED ? b : a;
            out.add(new Change(Kind.SENDERS, pair.title(key), a.verdict().text(), b.verdict().text(), Double.NaN, Double.NaN, "",
                    Double.NaN, standing, open.wanted() == null ? "" : open.wanted()));
            return;
        }
        MessageFinding two = a.verdict() == Verdict.TWO_SENDERS ? a : b;
        // A likelihood ratio of r is exceeded by chance at most once in r times (J. Ville, 1939). That the other recording
        // shows one sender is a verdict of its own, and the weaker of the two.
        double chance = Math.min(1, Math.pow(10, -two.strength()));
        out.add(new Change(Kind.SENDERS, pair.title(key), a.verdict().text(), b.verdict().text(), Double.NaN, Double.NaN, "",
                chance, Standing.CHANGED, "evidence for two of strength " + Words.number(Math.rint(two.strength() * 10) / 10)
                + "; 'one sender' in the other recording is the weaker verdict of the two"));
    }

    private void periods(long key, double[] a, double[] b, List<Change> out) {
        Track first = main(pair.before, key);
        Track second = main(pair.after, key);
        if (first != null && second != null) {
            double d = second.periodSeconds() - first.periodSeconds();
            double system = PERIOD_SYSTEM * first.periodSeconds();
            double error = Math.sqrt(square(first.periodErrorSeconds()) + square(second.periodErrorSeconds()) + system * system);
            out.add(new Change(Kind.PERIODS, pair.title(key), "every " + Words.within(first.periodSeconds() * 1e3,
                    first.periodErrorSeconds() * 1e3, "ms"), "every " + Words.within(second.periodSeconds() * 1e3,
                    second.periodErrorSeconds() * 1e3, "ms"), d * 1e3, error * 1e3, "ms", Chance.normal(d, error),
                    Standing.CHANGED, "the error holds 100 ppm for the clocks"));
            return;
        }
        if (first == null && second == null) {
            int n1 = episodes(a, 1);
            int n2 = episodes(b, 1);
            out.add(rate(Kind.PERIODS, pair.title(key), n1, n2, "bursts a minute"));
        } else {
            out.add(new Change(Kind.PERIODS, pair.title(key), first == null ? "on events" : "cyclic", second == null
                    ? "on events" : "cyclic", Double.NaN, Double.NaN, "", Double.NaN, Standing.UNDECIDED,
                    "its frames lie on a schedule in one recording only: record longer"));
        }
    }

    private static Track main(Findings f, long key) {
        Track best = null;
        for (Track t : f.senders().tracks(key)) {
            if (t.cyclic() && !Double.isNaN(t.periodErrorSeconds()) && (best == null || t.frames() > best.frames())) best = t;
        }
        return best;
    }

    /** Clocks of senders that send most of the same messages; what all have in common is the recorder's. */
    private void clocks(List<Change> out) {
        List<Sender[]> matched = new ArrayList<>();
        for (Sender a : pair.before.clashes().senders()) {
            Sender best = null;
            double most = 0;
            for (Sender b : pair.after.clashes().senders()) {
                Set<Long> both = new HashSet<>(a.keys());
                both.retainAll(b.keys());
                Set<Long> any = new HashSet<>(a.keys());
                any.addAll(b.keys());
                double alike = any.isEmpty() ? 0 : (double) both.size() / any.size();
                if (alike <= most) continue;
                most = alike;
                best = b;
            }
            if (best != null && most > 0.5 && !Double.isNaN(a.clockPpm()) && !Double.isNaN(best.clockPpm())) {
                matched.add(new Sender[] {a, best});
            }
        }
        double[] shifts = matched.stream().mapToDouble(m -> m[1].clockPpm() - m[0].clockPpm()).toArray();
        boolean common = shifts.length >= 3;
        double shift = common ? Robust.median(shifts) : 0;
        for (Sender[] m : matched) {
            double d = m[1].clockPpm() - m[0].clockPpm() - shift;
            double error = Math.sqrt(square(m[0].clockPpmError()) + square(m[1].clockPpmError()) + square(CLOCK_SYSTEM_PPM));
            out.add(new Change(Kind.CLOCKS, m[1].title(), Words.within(m[0].clockPpm(), m[0].clockPpmError(), "ppm"),
                    Words.within(m[1].clockPpm(), m[1].clockPpmError(), "ppm"), d, error, "ppm", Chance.normal(d, error),
                    Standing.CHANGED, (common ? "less " + Words.with(Math.rint(shift * 100) / 100, "ppm")
                    + " that all share, which is the recorder's; " : "") + "the error holds 3 ppm for warmth"));
        }
    }

    private void damage(List<Change> out) {
        out.add(rate(Kind.DAMAGE, "disturbed moments", episodes(damaged(pair.before), EPISODE_SECONDS),
                episodes(damaged(pair.after), EPISODE_SECONDS), "a minute"));
    }

    private Change rate(Kind kind, String subject, int n1, int n2, String unit) {
        double t1 = RecordingPair.seconds(pair.before);
        double t2 = RecordingPair.seconds(pair.after);
        double r1 = n1 * 60 / t1;
        double r2 = n2 * 60 / t2;
        double error = Math.hypot(60 * Math.sqrt(Math.max(1, n1)) / t1, 60 * Math.sqrt(Math.max(1, n2)) / t2);
        return new Change(kind, subject, n1 + " in " + Words.with(t1, "s"), n2 + " in " + Words.with(t2, "s"), r2 - r1, error,
                unit, Chance.counts(n1, t1, n2, t2), Standing.CHANGED, "counts, exact test");
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

    private static int episodes(double[] at, double apart) {
        int n = 0;
        for (int i = 0; i < at.length; i++) if (i == 0 || at[i] - at[i - 1] > apart) n++;
        return n;
    }

    private void load(List<Change> out) {
        Blocks a = busy(pair.before);
        Blocks b = busy(pair.after);
        if (a == null || b == null) return;
        double[] error = Blocks.together(a, b, LOAD_SYSTEM);
        double d = b.mean() - a.mean();
        out.add(new Change(Kind.LOAD, "bus load", Words.within(a.mean() * 100, a.error() * 100, "%"),
                Words.within(b.mean() * 100, b.error() * 100, "%"), d * 100, error[0] * 100, "%",
                Chance.student(d, error[0], error[1]), Standing.CHANGED, "the error holds 0.1\u00A0% for stuff bits of other values"));
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
