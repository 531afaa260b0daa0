package buswitness.senders;

import java.util.ArrayList;
import java.util.List;

/**
 * Follows every comb of roughly one period through a message, all at once: a two-state filter (time of the tooth,
 * period) for each, releases between {@code earliest} and {@code at} for frames that waited. Jitter does not add up
 * from tooth to tooth; the clock may wander. Where two combs claim a frame neither learns from it, so that each keeps
 * its own slope through a crossing.
 */
final class CombTracker {
    /** Clock wander assumed while tracking, one standard deviation, ppm after one minute. */
    static final double WANDER_PPM = 3;
    private static final double GATE = 4.5;
    private static final double GATE_FLOOR_SECONDS = 3e-6;
    private static final double NEAR_JITTERS = 6;
    private static final double WIDEST_GATE = 0.45;
    /** Safely within half a period before and after the next tooth, and beyond what arithmetic rounds. */
    private static final double NEXT_AFTER = 0.501;
    private static final double NEXT_BEFORE = 1.499;
    private static final double ROUNDING_SECONDS = 1e-11;
    /** Differences of period within one candidate: one standard deviation, share of the period. */
    private static final double PERIOD_SPREAD = 2e-3;
    /** Keeps the filter awake for phases that walk (delay loops); share of the jitter's variance a tooth. */
    private static final double PHASE_WALK = 0.04;
    private static final int CONFIRM_HITS = 4;
    private static final int MISSES_ALLOWED = 12;
    private static final int MISSES_ALLOWED_EARLY = 2;
    private static final int MOST_TENTATIVE = 12;

    private final MessageFrames frames;
    private final RecordedTime time;
    private final double period;
    private final double jitterSquare;
    private final double nearGate;
    private final double walk;
    private final double wander;
    private final List<Follower> confirmed = new ArrayList<>();
    private final List<Follower> tentative = new ArrayList<>();
    private final List<Comb> finished = new ArrayList<>();

    private static final class Follower {
        final Comb comb = new Comb();
        int last;
        double at;
        double period;
        double varAt;
        double covariance;
        double varPeriod;
        int step;
        double innovation;
        /** Squared innovation over its variance. */
        double closeness;
        /** Variance of the next tooth and the gate about it; NaN until asked for. */
        double nextSpread = Double.NaN;
        double nextGate;
        /** One of its teeth, used already or not, lies within a few jitters of the frame last looked at. */
        boolean near;
    }

    CombTracker(MessageFrames frames, RecordedTime time, double period, double jitter) {
        this.frames = frames;
        this.time = time;
        this.period = period;
        double j = Math.max(jitter, 1e-6);
        jitterSquare = j * j;
        nearGate = NEAR_JITTERS * Math.sqrt(jitterSquare) + GATE_FLOOR_SECONDS;
        walk = PHASE_WALK * jitterSquare;
        wander = WANDER_PPM * 1e-6 * period * WANDER_PPM * 1e-6 * period * period / 60;
    }

    /** @param taken frames that are already explained; null for none */
    List<Comb> run(boolean[] taken) {
        for (int i = 0; i < frames.count; i++) {
            if (taken == null || !taken[i]) offer(i);
        }
        for (Follower f : confirmed) finished.add(f.comb);
        return finished;
    }

    private void offer(int i) {
        retire(confirmed, i, MISSES_ALLOWED);
        Follower best = null;
        int near = 0;
        for (int f = 0; f < confirmed.size(); f++) {
            Follower c = confirmed.get(f);
            boolean fits = predict(c, i);
            if (c.near) near++;
            if (!fits) continue;
            if (best == null || c.closeness < best.closeness) best = c;
        }
        if (best != null) {
            accept(best, i, near - (best.near ? 1 : 0) == 0);
            return;
        }
        retire(tentative, i, MISSES_ALLOWED_EARLY);
        for (int f = 0; f < tentative.size(); f++) {
            Follower c = tentative.get(f);
            if (predict(c, i) && (best == null || c.closeness < best.closeness)) best = c;
        }
        if (best == null) {
            begin(i);
            return;
        }
        accept(best, i, near == 0);
        if (best.comb.size >= CONFIRM_HITS) {
            tentative.remove(best);
            confirmed.add(best);
        }
    }

    private void begin(int i) {
        if (tentative.size() >= MOST_TENTATIVE) tentative.remove(0);
        Follower f = new Follower();
        double waited = frames.at[i] - frames.earliest[i];
        if (waited > period / 4) return;
        f.at = frames.at[i] - waited / 2;
        f.period = period;
        f.varAt = jitterSquare + waited * waited / 12;
        f.varPeriod = PERIOD_SPREAD * PERIOD_SPREAD * period * period;
        f.comb.add(0, i, frames.free[i]);
        tentative.add(f);
    }

    private void retire(List<Follower> followers, int i, int allowed) {
        for (int f = followers.size() - 1; f >= 0; f--) {
            Follower c = followers.get(f);
            double silent = frames.at[i] - c.at;
            if (silent <= (allowed + 1.5) * c.period) continue;
            if (time.between(c.at, frames.at[i]) <= (allowed + 1.5) * c.period
                    && Math.sqrt(variance(c, (int) (silent / c.period) + 1)) < 0.1 * c.period) continue;
            followers.remove(f);
            if (followers == confirmed) finished.add(c.comb);
        }
    }

    private double variance(Follower c, double steps) {
        return c.varAt + 2 * steps * c.covariance + steps * steps * c.varPeriod + walk * steps
                + wander * steps * steps * steps / 3;
    }

    /** Whether frame {@code i} may be the follower's tooth {@code last + step}. */
    private boolean predict(Follower c, int i) {
        double at = frames.at[i];
        double away = at - c.at;
        // Most frames are some other comb's: a free one within half a period of the next tooth is quickly seen to be.
        boolean next = away > NEXT_AFTER * c.period && away < NEXT_BEFORE * c.period;
        if (next) {
            if (Double.isNaN(c.nextSpread)) foresee(c);
            if (at == frames.earliest[i] && Math.abs(away - c.period) > c.nextGate + ROUNDING_SECONDS) {
                c.near = false;
                return false;
            }
        }
        double spread = next ? c.nextSpread : variance(c, Math.max(1, Math.rint(away / c.period))) + jitterSquare;
        double gate = next ? c.nextGate : gate(c, spread);
        int step = (int) Math.floor((at + gate - c.at) / c.period);
        double predicted = c.at + step * c.period;
        double release = Math.max(frames.earliest[i], Math.min(at, predicted));
        double off = Math.abs(release - predicted);
        c.near = off <= Math.min(gate, nearGate);
        if (step < 1 || off > gate) return false;
        c.step = step;
        c.innovation = release - predicted;
        c.closeness = c.innovation * c.innovation / spread;
        return true;
    }

    private void foresee(Follower c) {
        c.nextSpread = variance(c, 1) + jitterSquare;
        c.nextGate = gate(c, c.nextSpread);
    }

    private static double gate(Follower c, double spread) {
        return Math.min(GATE * Math.sqrt(spread) + GATE_FLOOR_SECONDS, WIDEST_GATE * c.period);
    }

    private void accept(Follower c, int i, boolean alone) {
        int steps = c.step;
        c.nextSpread = Double.NaN;
        c.last += steps;
        c.at += steps * c.period;
        double cubic = wander * steps * steps * steps / 3.0;
        c.varAt = c.varAt + 2 * steps * c.covariance + (double) steps * steps * c.varPeriod + walk * steps + cubic;
        c.covariance += steps * c.varPeriod + wander * steps * steps / 2.0;
        c.varPeriod += wander * steps;
        boolean sharp = alone && frames.free[i];
        if (alone) learn(c, i);
        c.comb.add(c.last, i, sharp);
    }

    /**
     * A frame that waited was released at some time of its wait: a wide measurement. Its errors repeat from frame to
     * frame where the same traffic holds it back, so they are not allowed to average out.
     */
    private void learn(Follower c, int i) {
        double waited = frames.at[i] - frames.earliest[i];
        double unknown = waited * waited / 12;
        double innovation = c.innovation;
        if (waited > 0) {
            if (c.innovation == 0 && c.varAt < unknown) return;
            innovation += frames.at[i] - waited / 2 - Math.max(frames.earliest[i], Math.min(frames.at[i], c.at));
        }
        double spread = c.varAt + jitterSquare + unknown;
        double gainAt = c.varAt / spread;
        double gainPeriod = c.covariance / spread;
        c.at += gainAt * innovation;
        c.period += gainPeriod * innovation;
        c.varPeriod -= gainPeriod * c.covariance;
        c.covariance *= 1 - gainAt;
        c.varAt = Math.max(c.varAt * (1 - gainAt), Math.min(c.varAt, unknown));
    }
}
