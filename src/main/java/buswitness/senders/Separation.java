package buswitness.senders;

import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * Separates one message into schedules. Each candidate period is tried by following all its combs; the solution whose
 * description is shortest wins (frames off every comb, missing teeth and further combs all cost); what it leaves over is
 * searched again for other periods. Combs that do not overlap in time and keep the period are joined.
 */
final class Separation {
    private static final int FEWEST_FRAMES = 5;
    private static final int FEWEST_MORE = 8;
    private static final double LEAST_FILL = 0.6;
    private static final double COMB_COST = 20;
    private static final double MISSING_COST = 3;
    private static final double GAIN_NEEDED = 15;
    private static final int WINDOW = 3000;
    private static final int ROUNDS = 3;

    private final MessageFrames frames;
    private final RecordedTime time;
    private final double layoutPeriod;

    private record Solution(double period, double jitter, List<Comb> combs, double cost) {}

    Separation(MessageFrames frames, RecordedTime time, double layoutPeriod) {
        this.frames = frames;
        this.time = time;
        this.layoutPeriod = layoutPeriod;
    }

    /** Schedules in order of their first frame; empty where there is none. */
    List<Train> find() {
        boolean[] taken = new boolean[frames.count];
        List<Train> trains = new ArrayList<>();
        int left = frames.count;
        for (int round = 0; round < ROUNDS && left >= (round == 0 ? FEWEST_FRAMES : FEWEST_MORE); round++) {
            if (round > 0 && left < frames.count / 200) break;
            Solution best = best(taken, left, round == 0 ? layoutPeriod : Double.NaN);
            if (best == null) break;
            for (Comb c : best.combs) {
                for (int i = 0; i < c.size; i++) taken[c.member[i]] = true;
                left -= c.size;
            }
            join(trains, best);
        }
        trains.sort(Comparator.comparingDouble(Train::from));
        return trains;
    }

    private Solution best(boolean[] taken, int left, double hint) {
        double[] at = new double[left];
        int n = 0;
        for (int i = 0; i < frames.count; i++) if (!taken[i]) at[n++] = frames.at[i];
        List<PeriodCandidates.Candidate> candidates = new PeriodCandidates(at, n, time).find(hint);
        Solution best = null;
        for (boolean[] window : windows(taken, left)) {
            Solution bestHere = null;
            for (PeriodCandidates.Candidate c : candidates) {
                Solution s = solve(window, c.period(), c.jitter());
                if (s != null && (bestHere == null || s.cost < bestHere.cost)) bestHere = s;
            }
            if (bestHere != null && (best == null || bestHere.cost < best.cost)) best = bestHere;
        }
        if (best == null) return null;
        Solution whole = solve(taken, best.period, best.jitter);
        if (whole == null) return null;
        // The spread of differences misjudges a jitter that is not normal: once more with the one seen.
        Solution again = solve(taken, whole.period, whole.jitter);
        return again != null && again.cost < whole.cost ? again : whole;
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
        List<Comb> combs = new ArrayList<>();
        List<CombSmoother> smooth = new ArrayList<>();
        for (Comb c : new CombTracker(frames, time, period, Math.min(jitter, period / 4)).run(taken)) {
            if (c.size < FEWEST_FRAMES || c.size < LEAST_FILL * recordedTeeth(c, period)) continue;
            combs.add(c);
            smooth.add(new CombSmoother(frames, c, period, Math.max(1e-6, Math.min(jitter, period / 4)), 0));
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
        double spread = pooled(combs, smooth);
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
        return new Solution(refined, spread, combs, cost);
    }

    private double meanPeriod(Comb c) {
        return (frames.at[c.member[c.size - 1]] - frames.at[c.member[0]]) / (c.teeth() - 1);
    }

    private double recordedTeeth(Comb c, double period) {
        return time.between(frames.at[c.member[0]], frames.at[c.member[c.size - 1]]) / period + 1;
    }

    private double pooled(List<Comb> combs, List<CombSmoother> smooth) {
        double square = 0;
        int n = 0;
        for (int i = 0; i < combs.size(); i++) {
            double[] r = smooth.get(i).residuals(frames, combs.get(i));
            double s = Robust.spread(r, r.length, 0);
            square += r.length * s * s;
            n += r.length;
        }
        return Math.max(1e-6, Math.sqrt(square / n));
    }

    private double cost(Comb comb, CombSmoother smooth, double spread, double period) {
        double cost = COMB_COST + MISSING_COST * Math.max(0, recordedTeeth(comb, period) - comb.size);
        double normal = Math.log(spread * Math.sqrt(2 * Math.PI));
        double worst = -normal - Math.log(0.02 / period);
        double[] r = smooth.residuals(frames, comb);
        for (double d : r) cost += normal + Math.min(worst, d * d / (2 * spread * spread));
        return cost;
    }

    private void join(List<Train> trains, Solution solution) {
        List<Train> made = new ArrayList<>();
        List<Comb> ordered = new ArrayList<>(solution.combs);
        ordered.sort(Comparator.comparingInt(c -> c.member[0]));
        for (Comb c : ordered) {
            ClockFit fit = ClockFit.of(frames, c, new GapShape(frames, c).walk);
            Train host = host(made, c, fit, solution);
            if (host == null) {
                host = new Train();
                host.jitter = solution.jitter;
                made.add(host);
            }
            host.combs.add(c);
            host.fits.add(fit);
        }
        for (Train t : made) t.refit(frames, time);
        trains.addAll(made);
    }

    /** The train that this comb continues: ended before it, same period within error, best agreement in phase. */
    private Train host(List<Train> trains, Comb c, ClockFit fit, Solution solution) {
        Train best = null;
        double bestScore = Double.POSITIVE_INFINITY;
        boolean bestInPhase = false;
        double from = frames.at[c.member[0]];
        for (Train t : trains) {
            Comb last = t.combs.get(t.combs.size() - 1);
            ClockFit before = t.fits.get(t.fits.size() - 1);
            double until = frames.at[last.member[last.size - 1]];
            if (until > from + solution.period / 2) continue;
            double error = Math.hypot(Math.hypot(nan(before.periodError()), nan(fit.periodError())),
                    CombTracker.WANDER_PPM * 1e-6 * solution.period);
            double z = (fit.period() - before.period()) / error;
            if (Math.abs(z) > 4) continue;
            double steps = (from - until) / before.period();
            double phase = (steps - Math.rint(steps)) * before.period();
            double phaseError = Math.hypot(2 * solution.jitter, steps * nan(before.periodError()));
            boolean inPhase = phaseError < solution.period / 8 && Math.abs(phase) < 4 * phaseError;
            double score = z * z + (inPhase ? Math.pow(phase / phaseError, 2) : 16);
            if (score < bestScore) {
                best = t;
                bestScore = score;
                bestInPhase = inPhase || phaseError >= solution.period / 8 && time.gapBetween(until, from);
            }
        }
        if (best != null && !bestInPhase) best.restarts++;
        return best;
    }

    private static double nan(double error) {
        return error > 0 ? error : 0;
    }
}
