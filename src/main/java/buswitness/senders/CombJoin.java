package buswitness.senders;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/** Joins combs into trains: what can be one timer, restarted, interrupted, or followed by two trackers in turn. */
final class CombJoin {
    private static final double AGREE = 4;
    private static final double SAME_PHASE_JITTERS = 6;
    private static final double SAME_PHASE_SHARE = 0.2;
    private static final double SLOW_BITS = 0.1;

    private CombJoin() {}

    /** Trains in order of their first frame. */
    static List<Train> trains(MessageFrames frames, RecordedTime time, List<Comb> combs, double period, double jitter) {
        List<Comb> ordered = new ArrayList<>(combs);
        ordered.sort(Comparator.comparingInt(c -> c.member[0]));
        List<Comb> whole = new ArrayList<>();
        for (Comb c : fuse(frames, ordered, period, jitter)) whole.addAll(CombCut.cut(frames, time, c, period, jitter));
        whole.sort(Comparator.comparingInt(c -> c.member[0]));
        List<Train> made = new ArrayList<>();
        for (Comb c : whole) {
            ClockFit fit = ClockFit.of(frames, c, new GapShape(frames, c).walk);
            Train host = host(frames, time, made, c, fit, period, jitter);
            if (host == null) {
                host = new Train();
                host.jitter = jitter;
                made.add(host);
            }
            host.combs.add(c);
            host.fits.add(fit);
        }
        for (Train t : made) t.refit(frames, time);
        return made;
    }

    /**
     * Where the jitter of one comb grows, a second tracker takes what the first leaves: two combs in one place that
     * hardly ever have a frame each in one period. Two senders that cross do.
     */
    private static List<Comb> fuse(MessageFrames frames, List<Comb> combs, double period, double jitter) {
        List<Comb> fused = new ArrayList<>();
        for (Comb c : combs) {
            Comb host = null;
            for (Comb f : fused) if (host == null && samePlace(frames, f, c, period, jitter)) host = f;
            if (host == null) fused.add(c);
            else fused.set(fused.indexOf(host), merged(frames, host, c, period));
        }
        return fused;
    }

    private static boolean samePlace(MessageFrames frames, Comb a, Comb b, double period, double jitter) {
        double from = Math.max(frames.at[a.member[0]], frames.at[b.member[0]]);
        double until = Math.min(frames.at[a.member[a.size - 1]], frames.at[b.member[b.size - 1]]);
        if (until - from < period) return false;
        int both = 0;
        int near = 0;
        int ai = 0;
        int within = 0;
        for (int i = 0; i < b.size; i++) {
            double at = frames.at[b.member[i]];
            if (at < from || at > until) continue;
            within++;
            while (ai + 1 < a.size && frames.at[a.member[ai + 1]] <= at) ai++;
            double before = at - frames.at[a.member[ai]];
            double after = ai + 1 < a.size ? frames.at[a.member[ai + 1]] - at : period;
            if (Math.min(Math.abs(before), after) < period / 2) both++;
            double phase = before / period - Math.rint(before / period);
            if (Math.abs(phase) * period < Math.max(SAME_PHASE_JITTERS * jitter, SAME_PHASE_SHARE * period)) near++;
        }
        return within > 0 && near > 0.8 * within && both < 0.3 * within;
    }

    /** The members of both in one comb of a period. */
    static Comb merged(MessageFrames frames, Comb a, Comb b, double period) {
        Comb all = new Comb();
        int ia = 0;
        int ib = 0;
        double last = Double.NaN;
        int number = 0;
        while (ia < a.size || ib < b.size) {
            boolean first = ib == b.size || ia < a.size && a.member[ia] < b.member[ib];
            int member = first ? a.member[ia] : b.member[ib];
            boolean sharp = first ? a.sharp[ia++] : b.sharp[ib++];
            int step = Double.isNaN(last) ? 0 : (int) Math.rint((frames.at[member] - last) / period);
            if (!Double.isNaN(last) && step < 1) continue;
            number += step;
            last = frames.at[member];
            all.add(number, member, sharp);
        }
        return all;
    }

    /** Whether consecutive frames of different trains mostly show the same in the bits that change slowly. */
    static boolean payloadsAlike(MessageFrames frames, List<Train> trains) {
        return payloadsAlike(frames, trains, -1L);
    }

    /** The same, looking only at some bits. */
    static boolean payloadsAlike(MessageFrames frames, List<Train> trains, long bits) {
        byte[] label = new byte[frames.count];
        Arrays.fill(label, (byte) -1);
        for (int t = 0; t < trains.size(); t++) {
            for (Comb c : trains.get(t).combs) for (int i = 0; i < c.size; i++) label[c.member[i]] = (byte) t;
        }
        long slow = PayloadTerm.slowBits(frames, label, 0, SLOW_BITS) & bits;
        int alike = 0;
        int all = 0;
        int last = -1;
        for (int i = 0; i < frames.count; i++) {
            if (label[i] < 0) continue;
            if (last >= 0 && label[last] != label[i]) {
                all++;
                if (((frames.word[i] ^ frames.word[last]) & slow) == 0) alike++;
            }
            last = i;
        }
        return 2 * alike > all;
    }

    /** The train that this comb continues: ended before it, same period within error, best agreement in phase. */
    private static Train host(MessageFrames frames, RecordedTime time, List<Train> trains, Comb c, ClockFit fit,
                              double period, double jitter) {
        Train best = null;
        double bestScore = Double.POSITIVE_INFINITY;
        boolean bestInPhase = false;
        double from = frames.at[c.member[0]];
        for (Train t : trains) {
            Comb last = t.combs.get(t.combs.size() - 1);
            ClockFit before = t.fits.get(t.fits.size() - 1);
            double until = frames.at[last.member[last.size - 1]];
            if (until > from + period / 2) continue;
            double error = Math.hypot(Math.hypot(nan(before.errorAmong(jitter)), nan(fit.errorAmong(jitter))),
                    CombTracker.WANDER_PPM * 1e-6 * period);
            double z = (fit.period() - before.period()) / error;
            if (Math.abs(z) > AGREE) continue;
            double steps = (from - until) / before.period();
            double phase = (steps - Math.rint(steps)) * before.period();
            double phaseError = Math.hypot(2 * jitter, steps * nan(before.errorAmong(jitter)));
            boolean inPhase = phaseError < period / 8 && Math.abs(phase) < AGREE * phaseError;
            double score = z * z + (inPhase ? Math.pow(phase / phaseError, 2) : 16);
            if (score < bestScore) {
                best = t;
                bestScore = score;
                bestInPhase = inPhase || phaseError >= period / 8 && time.gapBetween(until, from);
            }
        }
        if (best != null && !bestInPhase) best.restarts++;
        return best;
    }

    private static double nan(double error) {
        return error > 0 ? error : 0;
    }
}
