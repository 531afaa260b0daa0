package buswitness.senders;

import java.util.List;

/**
 * Two combs that come together and part again may have changed names on the way: their slopes tell, but near a slow
 * or noisy crossing not well. Where the payloads of both, steady before and after, have changed places, the names
 * change back.
 */
final class CrossingRepair {
    private static final int WINDOW_PERIODS = 40;
    private static final int FEWEST = 6;
    private static final float SURE = 0.6f;
    private static final int BITS = 2;
    private static final double STEADY = 0.9;
    private static final double SAME_PERIOD = 0.002;

    private final MessageFrames frames;
    private final List<Train> trains;
    private final byte[] label;
    private final float[] confidence;

    CrossingRepair(MessageFrames frames, List<Train> trains, byte[] label, float[] confidence) {
        this.frames = frames;
        this.trains = trains;
        this.label = label;
        this.confidence = confidence;
    }

    /** Exchanges labels where needed and gives the trains their new members; whether it did. */
    boolean run() {
        boolean any = false;
        for (int a = 0; a < trains.size(); a++) {
            for (int b = a + 1; b < trains.size(); b++) {
                Train first = trains.get(a);
                Train second = trains.get(b);
                boolean alike = Math.abs(first.meanPeriod / second.meanPeriod - 1) < SAME_PERIOD;
                if (!alike || first.combs.size() > 1 || second.combs.size() > 1) continue;
                List<CombPair.Crossing> crossings = TimingFacts.crossings(first, second);
                if (crossings.isEmpty() || !scan(a, b, first.meanPeriod, crossings)) continue;
                relabel(first, a);
                relabel(second, b);
                any = true;
            }
        }
        return any;
    }

    /**
     * Walks through windows in which both payloads hold still and differ; where one shows the two in exchanged places
     * against the last such window, with the combs meeting in between, everything from half way between on changes
     * names.
     */
    private boolean scan(int a, int b, double period, List<CombPair.Crossing> crossings) {
        boolean changed = false;
        long[] last = null;
        int lastAt = 0;
        for (int from = 0; from < frames.count;) {
            int until = from;
            while (until < frames.count && frames.at[until] < frames.at[from] + WINDOW_PERIODS * period) until++;
            long[] now = {0, 0, 0};
            steady(a, from, until, now, 0);
            steady(b, from, until, now, 1);
            int middle = (from + until) / 2;
            from = until;
            if (Long.bitCount((now[0] ^ now[1]) & now[2]) < BITS) continue;
            if (last != null) {
                long differ = (now[0] ^ now[1]) & (last[0] ^ last[1]) & now[2] & last[2];
                int exchanged = Long.bitCount(differ & (now[0] ^ last[0]));
                if (exchanged >= BITS && exchanged > 3 * (Long.bitCount(differ) - exchanged)
                        && crossed(crossings, lastAt, middle)) {
                    exchange(a, b, (lastAt + middle) / 2);
                    now = new long[] {now[1], now[0], now[2]};
                    changed = true;
                }
            }
            last = now;
            lastAt = middle;
        }
        return changed;
    }

    /** The two combs met between the frames. */
    private boolean crossed(List<CombPair.Crossing> crossings, int from, int until) {
        for (CombPair.Crossing c : crossings) {
            if (c.fromSeconds() < frames.at[until] && c.untilSeconds() > frames.at[from]) return true;
        }
        return false;
    }

    private void exchange(int a, int b, int from) {
        for (int i = from; i < frames.count; i++) {
            if (label[i] == a) label[i] = (byte) b;
            else if (label[i] == b) label[i] = (byte) a;
        }
    }

    /**
     * Majority of each bit of a label's frames into {@code into[slot]}; bits that waver leave the mask {@code
     * into[2]}.
     */
    private void steady(int c, int from, int until, long[] into, int slot) {
        int[] ones = new int[64];
        int n = 0;
        for (int i = from; i < until; i++) {
            if (label[i] != c) continue;
            n++;
            for (long w = frames.word[i]; w != 0; w &= w - 1) ones[Long.numberOfTrailingZeros(w)]++;
        }
        long steady = 0;
        for (int b = 0; b < 64 && n >= FEWEST; b++) {
            if (2 * ones[b] > n) into[slot] |= 1L << b;
            if (Math.max(ones[b], n - ones[b]) >= STEADY * n) steady |= 1L << b;
        }
        into[2] = slot == 0 ? steady : into[2] & steady;
    }

    /** Numbers the teeth by counting periods from frame to frame. */
    private void relabel(Train train, int c) {
        Comb comb = new Comb();
        double last = Double.NaN;
        for (int i = 0; i < frames.count; i++) {
            if (label[i] != c || confidence[i] < SURE) continue;
            double release = frames.free[i] ? frames.at[i] : (frames.at[i] + frames.earliest[i]) / 2;
            int steps = Double.isNaN(last) ? 0 : (int) Math.rint((release - last) / train.meanPeriod);
            if (!Double.isNaN(last) && steps < 1) continue;
            comb.add(comb.size == 0 ? 0 : comb.lastTooth() + steps, i, frames.free[i]);
            last = release;
        }
        if (comb.size < 4) return;
        train.combs.set(0, comb);
    }
}
