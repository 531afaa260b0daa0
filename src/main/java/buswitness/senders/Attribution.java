package buswitness.senders;

import buswitness.stats.Normal;
import java.util.Arrays;
import java.util.List;

/**
 * Which schedule each frame of a message belongs to: forward-backward over the sequence (L. E. Baum et al., Annals of
 * Mathematical Statistics 41, 1970), a tooth used once at most. The state is, for each schedule, the last tooth used
 * against the tooth nearest to the frame: older, two before, one before, the nearest, one after. A frame's emission is
 * timing times payload times wire; the label after the last schedule means an event on no comb. Time grows with the
 * frames, memory with a block of them.
 */
final class Attribution {
    static final int MOST_TRAINS = 3;
    private static final int BLOCK = 2048;
    private static final int OVERLAP = 96;
    private static final double WILD = 0.01;
    private static final double BROAD = 0.02;

    private final MessageFrames frames;
    private final List<Train> trains;
    private final int schedules;
    private final int states;
    private final double eventRate;
    private final double[] miss;
    private final StateMoves moves;
    /** For each train and tooth the spread of a release about it; 0 where nobody asked yet. */
    private final double[][] spread;
    /** For each frame and label the cost (negative log of the factor) that payload and wire add. */
    private final EmissionTerms terms;

    /** Most probable label of each frame; {@code schedules} stands for an event. */
    final byte[] label;
    final float[] confidence;
    /** Index of the tooth in the label's train; -1 for events. */
    final int[] tooth;

    /** Further terms of a frame's emission, as costs in nats. */
    interface EmissionTerms {
        double cost(int frame, int label);
    }

    Attribution(MessageFrames frames, List<Train> trains, RecordedTime time, double events, EmissionTerms terms) {
        this.frames = frames;
        this.trains = trains;
        this.terms = terms;
        schedules = trains.size();
        int s = 1;
        for (int c = 0; c < schedules; c++) s *= StateMoves.STEPS;
        states = s;
        eventRate = Math.max(0.5, events) / Math.max(1e-9, time.between(0, time.durationSeconds));
        miss = new double[schedules];
        for (int c = 0; c < schedules; c++) {
            double teeth = trains.get(c).teethWithin();
            double missing = Math.max(0, teeth - trains.get(c).members());
            miss[c] = Math.min(0.5, (missing + 0.5) / (teeth + 1));
        }
        moves = new StateMoves(schedules, miss);
        spread = new double[schedules][];
        for (int c = 0; c < schedules; c++) spread[c] = new double[trains.get(c).tooth.length];
        label = new byte[frames.count];
        confidence = new float[frames.count];
        tooth = new int[frames.count];
    }

    private double[] like;
    private int[] nearest;
    private double[] forward;

    void run() {
        int labels = schedules + 1;
        int room = Math.min(frames.count, BLOCK + OVERLAP);
        like = new double[room * (3 * schedules + 1)];
        nearest = new int[(room + 1) * schedules];
        forward = new double[room * states];
        double[] enter = new double[states];
        Arrays.fill(enter, 1);
        for (int from = 0; from < frames.count; from += BLOCK) {
            int until = Math.min(frames.count, from + BLOCK);
            int ahead = Math.min(frames.count, until + OVERLAP);
            prepare(from, ahead);
            enter = pass(from, until, ahead, enter, labels);
        }
    }

    private double[] pass(int from, int until, int ahead, double[] enter, int labels) {
        double[] now = enter.clone();
        double[] next = new double[states];
        double[] carried = null;
        for (int i = from; i < ahead; i++) {
            System.arraycopy(now, 0, forward, (i - from) * states, states);
            Arrays.fill(next, 0);
            step(now, next, i - from);
            shift(next, now, i - from, i + 1 < ahead);
            scale(now);
            if (i + 1 == until) carried = now.clone();
        }
        double[] back = new double[states];
        double[] later = new double[states];
        Arrays.fill(back, 1);
        double[] posterior = new double[3 * schedules + 1];
        for (int i = ahead - 1; i >= from; i--) {
            unshift(back, later, i - from, i + 1 < ahead);
            Arrays.fill(posterior, 0);
            Arrays.fill(back, 0);
            System.arraycopy(forward, (i - from) * states, now, 0, states);
            stepBack(now, back, later, i - from, posterior);
            scale(back);
            if (i < until) record(i, i - from, posterior, labels);
        }
        return carried;
    }

    private void record(int i, int at, double[] posterior, int labels) {
        double sum = 0;
        for (double p : posterior) sum += p;
        int best = schedules;
        double bestShare = posterior[3 * schedules];
        int bestTooth = -1;
        for (int c = 0; c < schedules; c++) {
            double share = posterior[3 * c] + posterior[3 * c + 1] + posterior[3 * c + 2];
            if (share <= bestShare) continue;
            bestShare = share;
            best = c;
            int m = posterior[3 * c] > posterior[3 * c + 1] ? 0 : 1;
            if (posterior[3 * c + 2] > posterior[3 * c + m]) m = 2;
            bestTooth = nearest[at * schedules + c] + m - 1;
        }
        label[i] = (byte) best;
        tooth[i] = bestTooth;
        confidence[i] = sum > 0 ? (float) (bestShare / sum) : 0;
    }

    /** Factors of each frame for each schedule's three teeth and for an event, the largest scaled to 1. */
    private void prepare(int from, int ahead) {
        int[] pointer = new int[schedules];
        for (int c = 0; c < schedules; c++) pointer[c] = trains.get(c).nearest(frames.at[from], 0);
        int width = 3 * schedules + 1;
        for (int i = from; i < ahead; i++) {
            int at = (i - from) * width;
            boolean point = frames.at[i] - frames.earliest[i] < 2e-6;
            double most = 0;
            for (int c = 0; c < schedules; c++) {
                pointer[c] = trains.get(c).nearest(frames.at[i], pointer[c]);
                nearest[(i - from) * schedules + c] = pointer[c];
                double more = Math.exp(-terms.cost(i, c));
                for (int m = 0; m < 3; m++) {
                    double l = more * timing(c, pointer[c] + m - 1, i, point) * (1 - miss[c]);
                    like[at + 3 * c + m] = l;
                    most = Math.max(most, l);
                }
            }
            double event = point ? eventRate : eventRate * (frames.at[i] - frames.earliest[i]);
            like[at + width - 1] = event * Math.exp(-terms.cost(i, schedules));
            most = Math.max(most, like[at + width - 1]);
            for (int k = at; k < at + width; k++) like[k] /= most;
        }
    }

    private double timing(int c, int t, int i, boolean point) {
        Train train = trains.get(c);
        if (t < 0 || t >= train.tooth.length) return 0;
        double period = train.meanPeriod;
        double late = frames.at[i] - train.tooth[t];
        if (point && Math.abs(late) > period) return 0;
        double sd = spread[c][t];
        if (sd == 0) sd = spread[c][t] = Math.hypot(train.jitter, train.toothError[t]);
        if (point) {
            double u = late / sd;
            double normal = Math.exp(-u * u / 2) / (sd * Math.sqrt(2 * Math.PI));
            double broad = Math.exp(-u * u / 32) / (4 * sd * Math.sqrt(2 * Math.PI));
            return (1 - WILD - BROAD) * normal + BROAD * broad + WILD / (2 * period);
        }
        double early = frames.earliest[i] - train.tooth[t];
        if (early > period || late < -period) return 0;
        double share = Normal.between(early / sd, late / sd);
        double broad = Normal.between(early / (4 * sd), late / (4 * sd));
        return (1 - WILD - BROAD) * share + BROAD * broad + WILD * (late - early) / (2 * period);
    }

    private void step(double[] now, double[] next, int at) {
        int base = at * (3 * schedules + 1);
        double event = like[base + 3 * schedules];
        for (int s = 0; s < states; s++) {
            double a = now[s];
            if (a == 0) continue;
            next[s] += a * event;
            for (int c = 0; c < schedules; c++) {
                int way = moves.ways(s, c);
                for (int d = moves.firstTooth(s, c); d < 3; d++) {
                    next[s + moves.ahead[way + d]] += a * moves.skipped[way + d] * like[base + 3 * c + d];
                }
            }
        }
    }

    private void stepBack(double[] now, double[] back, double[] later, int at, double[] posterior) {
        int base = at * (3 * schedules + 1);
        double event = like[base + 3 * schedules];
        for (int s = 0; s < states; s++) {
            double a = now[s];
            double b = event * later[s];
            posterior[3 * schedules] += a * b;
            for (int c = 0; c < schedules; c++) {
                int way = moves.ways(s, c);
                for (int d = moves.firstTooth(s, c); d < 3; d++) {
                    double along = moves.skipped[way + d] * like[base + 3 * c + d] * later[s + moves.ahead[way + d]];
                    b += along;
                    posterior[3 * c + d] += a * along;
                }
            }
            back[s] = b;
        }
    }

    /** The same facts seen from the next frame, whose nearest teeth may be later; the last frame keeps its own view. */
    private void shift(double[] from, double[] to, int at, boolean more) {
        if (!more) {
            System.arraycopy(from, 0, to, 0, states);
            return;
        }
        StateMoves.Shift shift = moves.shift(nearest, at * schedules);
        Arrays.fill(to, 0);
        for (int s = 0; s < states; s++) to[shift.target()[s]] += from[s] * shift.charge()[s];
    }

    private void unshift(double[] back, double[] to, int at, boolean more) {
        if (!more) {
            System.arraycopy(back, 0, to, 0, states);
            return;
        }
        StateMoves.Shift shift = moves.shift(nearest, at * schedules);
        for (int s = 0; s < states; s++) to[s] = back[shift.target()[s]] * shift.charge()[s];
    }

    private void scale(double[] v) {
        double most = 0;
        for (double x : v) most = Math.max(most, x);
        if (most > 0) for (int i = 0; i < states; i++) v[i] /= most;
        else Arrays.fill(v, 1);
    }
}
