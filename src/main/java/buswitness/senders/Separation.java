package buswitness.senders;

import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Separates one message into schedules. Each candidate period is tried by following all its combs; the solution whose
 * description is shortest wins (frames off every comb, missing teeth and further combs all cost); what it leaves over
 * is searched again for other periods. Combs that do not overlap in time and keep the period are joined.
 */
final class Separation {
    private static final int FEWEST_FRAMES = 5;
    private static final int FEWEST_MORE = 8;
    private static final double LEAST_FILL = 0.6;
    private static final double GOOD_FILL = 0.8;
    private static final double UNEVEN = 0.12;
    private static final double DRIFTS = 3;
    private static final double COMB_COST = 20;
    private static final double MISSING_COST = 3;
    private static final double GAIN_NEEDED = 15;
    private static final int WINDOW = 2000;
    private static final int ROUNDS = 3;
    private static final int MOST_DIVISOR = 4;
    /** Combs of a multiple that can be pieces of a shorter period; two alone are more likely two senders. */
    private static final int FEWEST_PIECES = 3;

    private final MessageFrames frames;
    private final RecordedTime time;
    private final double layoutPeriod;
    /** What was solved already among the frames that are left: the same candidates come up again and again. */
    private final Map<Question, Optional<Solution>> solved = new HashMap<>();

    /** @param taken the very array: frames that one marks are taken throughout a round */
    private record Question(boolean[] taken, double period, double jitter) {}

    private record Solution(double period, double jitter, List<Comb> combs, double cost, int explained, double fill) {}

    Separation(MessageFrames frames, RecordedTime time, double layoutPeriod) {
        this.frames = frames;
        this.time = time;
        this.layoutPeriod = layoutPeriod;
    }

    /** Schedules in order of their first frame; empty where there is none. */
    List<Train> find() {
        return find(new boolean[frames.count]);
    }

    /** The same among the frames that are not taken; marks those that it explains. */
    List<Train> find(boolean[] taken) {
        List<Train> trains = new ArrayList<>();
        int left = 0;
        for (boolean t : taken) if (!t) left++;
        for (int round = 0; round < ROUNDS && left >= (round == 0 ? FEWEST_FRAMES : FEWEST_MORE); round++) {
            if (round > 0 && left < frames.count / 200) break;
            solved.clear();
            Solution best = best(taken, left, round == 0 ? layoutPeriod : Double.NaN);
            if (best == null) break;
            List<Train> found = CombJoin.trains(frames, time, best.combs, best.period, best.jitter);
            if (found.size() > 1) {
                Solution denser = denser(taken, best, found);
                if (denser != null) {
                    best = denser;
                    found = CombJoin.trains(frames, time, best.combs, best.period, best.jitter);
                }
            }
            for (Comb c : best.combs) {
                for (int i = 0; i < c.size; i++) taken[c.member[i]] = true;
                left -= c.size;
            }
            trains.addAll(found);
        }
        return CombHalves.joined(frames, time, trains);
    }

    private Solution best(boolean[] taken, int left, double hint) {
        double[] at = new double[left];
        int n = 0;
        for (int i = 0; i < frames.count; i++) if (!taken[i]) at[n++] = frames.at[i];
        PeriodCandidates periods = new PeriodCandidates(at, n, time);
        PeriodCandidates.Candidate median = periods.median();
        List<boolean[]> windows = windows(taken, left);
        // Still three candidates: two or three tasks evenly spaced look like one comb of the shorter period.
        List<PeriodCandidates.Candidate> candidates =
                median != null && plain(windows, median) ? periods.lags() : periods.find(hint);
        if (windows.size() == 1) return best(taken, candidates);
        // Each window names its winner; the whole message decides among them.
        List<PeriodCandidates.Candidate> winners = new ArrayList<>();
        for (boolean[] window : windows) {
            Solution s = best(window, candidates);
            if (s == null) continue;
            boolean known = false;
            for (PeriodCandidates.Candidate w : winners) known |= Math.abs(w.period() / s.period - 1) < 0.001;
            if (!known) winners.add(new PeriodCandidates.Candidate(s.period, s.jitter));
        }
        return best(taken, winners);
    }

    /**
     * Several combs without drift, evenly spaced or with like payloads, are one comb of a shorter period whose teeth
     * lie slightly unevenly (a task table coarser than the period). Null where that does not hold.
     */
    private Solution denser(boolean[] taken, Solution sparse, List<Train> trains) {
        int m = trains.size();
        double period = sparse.period / m;
        Solution s = settled(taken, period, Math.max(sparse.jitter, UNEVEN * period));
        if (s == null || s.combs.size() > Math.max(1, sparse.combs.size() / m) || s.fill < 0.9
                || s.explained < 0.97 * sparse.explained || s.jitter > Math.max(2 * sparse.jitter, UNEVEN * period)) {
            return null;
        }
        for (int a = 0; a < m; a++) {
            for (int b = a + 1; b < m; b++) {
                PhaseDifference d = PhaseDifference.of(frames, trains.get(a), Double.NaN, frames, trains.get(b),
                        Double.NaN);
                if (Math.abs(d.driftPpm()) > DRIFTS * d.driftPpmError()) return null;
            }
        }
        return evenly(trains, period) || CombJoin.payloadsAlike(frames, trains) ? s : null;
    }

    /** Whether the trains follow one another at one distance, within their jitter or a small share of it. */
    static boolean evenly(List<Train> trains, double distance) {
        double[] phase = new double[trains.size()];
        double common = distance * trains.size();
        double jitter = 0;
        double middle = trains.get(0).tooth[trains.get(0).tooth.length / 2];
        for (int i = 0; i < phase.length; i++) {
            Train t = trains.get(i);
            double away = t.tooth[t.nearest(middle, 0)] - middle;
            phase[i] = away - Math.floor(away / common) * common;
            jitter = Math.max(jitter, t.jitter);
        }
        Arrays.sort(phase);
        double tolerance = Math.min(UNEVEN * 2 * distance, Math.max(3 * jitter, UNEVEN / 2 * distance));
        for (int i = 1; i < phase.length; i++) {
            if (Math.abs(phase[i] - phase[i - 1] - distance) > tolerance) return false;
        }
        return true;
    }

    /**
     * The shortest description; but where a shorter period is as sharp and full, that one: the rest of the frames may
     * have a period of their own, while every common multiple explains both.
     */
    private Solution best(boolean[] taken, List<PeriodCandidates.Candidate> candidates) {
        List<Solution> solutions = new ArrayList<>();
        Solution best = null;
        for (PeriodCandidates.Candidate c : candidates) {
            Solution s = settled(taken, c.period(), c.jitter());
            if (s == null) continue;
            solutions.add(s);
            if (best == null || s.cost < best.cost) best = s;
        }
        if (best != null) best = divided(taken, best, solutions);
        Solution chosen = best;
        for (Solution s : solutions) {
            boolean sharp = s.jitter < 1.25 * best.jitter + 1e-6;
            boolean shorter = s.period < 0.9 * chosen.period;
            // Where it explains as much, the descriptions compare as they are.
            boolean partial = s.explained < 0.97 * best.explained || s.cost < best.cost + GAIN_NEEDED;
            if (sharp && shorter && partial && s.fill >= GOOD_FILL && s.explained >= best.explained / 4) chosen = s;
        }
        return chosen;
    }

    /**
     * Where two combs cross, the spread of differences hides how sharp they are, and a multiple of their period, whose
     * differences fall within one sender, looks tidier. Its divisors are tried with its jitter, and one that explains
     * as much with far fewer combs is the period: no node interleaves slow schedules evenly.
     */
    private Solution divided(boolean[] taken, Solution multiple, List<Solution> solutions) {
        if (multiple.combs.size() < FEWEST_PIECES) return multiple;
        for (int k = MOST_DIVISOR; k > 1; k--) {
            Solution s = settled(taken, multiple.period / k, multiple.jitter);
            if (s == null || s.fill < GOOD_FILL || s.explained < 0.97 * multiple.explained) continue;
            boolean sharp = s.jitter < 1.25 * multiple.jitter + 1e-6;
            if (!sharp || s.combs.size() > 1 + multiple.combs.size() / k) continue;
            solutions.add(s);
            return s;
        }
        return multiple;
    }

    /** The spread of differences misjudges a jitter that is not normal: tried again with the one seen. */
    private Solution settled(boolean[] taken, double period, double jitter) {
        Solution s = solve(taken, period, jitter);
        if (s == null || Math.abs(Math.log(s.jitter / Math.max(1e-6, jitter))) < 0.3) return s;
        Solution again = solve(taken, s.period, s.jitter);
        return again != null && again.cost < s.cost ? again : s;
    }

    /** One comb of the median gap takes every frame of every window. */
    private boolean plain(List<boolean[]> windows, PeriodCandidates.Candidate median) {
        for (boolean[] window : windows) {
            Solution s = settled(window, median.period(), median.jitter());
            int n = 0;
            for (boolean t : window) if (!t) n++;
            if (s == null || s.combs.size() > 1 || s.explained < n || s.fill < 0.95) return false;
        }
        return true;
    }

    /** Long messages choose their period on three windows; what lies outside a window counts as taken. */
    private List<boolean[]> windows(boolean[] taken, int left) {
        if (left <= 3 * WINDOW) return List.of(taken);
        List<boolean[]> windows = new ArrayList<>();
        for (int part = 0; part < 3; part++) {
            boolean[] outside = new boolean[frames.count];
            Arrays.fill(outside, true);
            int skip = (int) ((long) (left - WINDOW) * part / 2);
            for (int i = 0, seen = 0; i < frames.count && seen < skip + WINDOW; i++) {
                if (taken[i]) continue;
                if (seen++ >= skip) outside[i] = false;
            }
            windows.add(outside);
        }
        return windows;
    }

    /** Cost against calling every frame an event; null where that is no worse. */
    private Solution solve(boolean[] taken, double period, double jitter) {
        return solved.computeIfAbsent(new Question(taken, period, jitter),
                q -> Optional.ofNullable(solveAnew(taken, period, jitter))).orElse(null);
    }

    private Solution solveAnew(boolean[] taken, double period, double jitter) {
        List<Comb> combs = new ArrayList<>();
        List<CombSmoother> smooth = new ArrayList<>();
        for (Comb c : new CombTracker(frames, time, period, Math.min(jitter, period / 4)).run(taken)) {
            if (c.size < FEWEST_FRAMES || c.size < LEAST_FILL * recordedTeeth(c, period)) continue;
            combs.add(c);
            smooth.add(new CombSmoother(frames, c, period, Math.max(1e-6, Math.min(jitter, period / 4)),
                    new GapShape(frames, c).walk));
        }
        if (combs.isEmpty()) return null;
        int n = 0;
        double from = Double.POSITIVE_INFINITY;
        double until = 0;
        for (int i = 0; i < frames.count; i++) {
            if (taken[i]) continue;
            n++;
            from = Math.min(from, frames.at[i]);
            until = frames.at[i];
        }
        double spread = pooled(combs, smooth, Math.min(jitter, period / 4));
        double watched = Math.max(1e-9, time.between(from, until));
        int unexplained = n;
        for (Comb c : combs) unexplained -= c.size;
        double eventCost = -Math.log(Math.max(1, unexplained) / watched);
        double cost = unexplained * eventCost;
        for (int i = combs.size() - 1; i >= 0; i--) {
            double own = cost(combs.get(i), smooth.get(i), spread, period);
            if (own > combs.get(i).size * eventCost - GAIN_NEEDED) {
                own = combs.get(i).size * eventCost;
                combs.remove(i);
                smooth.remove(i);
            }
            cost += own;
        }
        if (combs.isEmpty() || cost > -n * Math.log(n / watched) - GAIN_NEEDED) return null;
        double refined = combs.stream().max(Comparator.comparingInt(c -> c.size)).map(this::meanPeriod).get();
        int explained = 0;
        double teeth = 0;
        for (Comb c : combs) {
            explained += c.size;
            teeth += recordedTeeth(c, refined);
        }
        return new Solution(refined, spread, combs, cost, explained, explained / teeth);
    }

    private double meanPeriod(Comb c) {
        return (frames.at[c.member[c.size - 1]] - frames.at[c.member[0]]) / (c.teeth() - 1);
    }

    private double recordedTeeth(Comb c, double period) {
        return time.between(frames.at[c.member[0]], frames.at[c.member[c.size - 1]]) / period + 1;
    }

    /** Spread of the sharp releases of all combs; the assumed one where there are too few. */
    private double pooled(List<Comb> combs, List<CombSmoother> smooth, double assumed) {
        double square = 0;
        int n = 0;
        for (int i = 0; i < combs.size(); i++) {
            Comb c = combs.get(i);
            double[] r = smooth.get(i).residuals(frames, c);
            int sharp = 0;
            for (int k = 0; k < c.size; k++) if (c.sharp[k]) r[sharp++] = r[k];
            if (sharp < FEWEST_FRAMES) continue;
            double s = Robust.spread(r, sharp, 0);
            square += sharp * s * s;
            n += sharp;
        }
        return Math.max(1e-6, n == 0 ? assumed : Math.sqrt(square / n));
    }

    private double cost(Comb comb, CombSmoother smooth, double spread, double period) {
        double cost = COMB_COST + MISSING_COST * Math.max(0, recordedTeeth(comb, period) - comb.size);
        double normal = Math.log(spread * Math.sqrt(2 * Math.PI));
        double worst = -normal - Math.log(0.02 / period);
        double[] r = smooth.residuals(frames, comb);
        for (double d : r) cost += normal + Math.min(worst, d * d / (2 * spread * spread));
        return cost;
    }
}
