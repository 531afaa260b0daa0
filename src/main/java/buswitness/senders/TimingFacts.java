package buswitness.senders;

import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.List;

/** Gathers the facts of {@link MessageTiming} from a solved message. */
final class TimingFacts {
    private static final double CLEAR = 3;
    private static final double TOGETHER = 4;
    private static final double MOST_JITTER = 0.2;
    private static final double SHARPEST_SECONDS = 2e-6;
    private static final double SLOW_BITS = 0.1;
    static final double CROSSING = 3;

    private final MessageSolution solution;
    private final MessageFrames frames;
    private final RecordedTime time;
    private final int main;

    TimingFacts(MessageSolution solution, RecordedTime time) {
        this.solution = solution;
        this.frames = solution.frames;
        this.time = time;
        main = solution.main();
    }

    /**
     * @param firstTrack index that the message's first schedule has among all tracks
     * @param nominal    nominal period of each schedule, NaN where there is none
     */
    MessageTiming gather(int firstTrack, double[] nominal) {
        double[] gap = new double[Math.max(0, frames.count - 1)];
        boolean[] bridged = new boolean[gap.length];
        int gaps = 0;
        double[] clean = new double[gap.length];
        for (int i = 0; i < gap.length; i++) {
            gap[i] = frames.at[i + 1] - frames.at[i];
            bridged[i] = time.gapBetween(frames.at[i], frames.at[i + 1]);
            if (!bridged[i]) clean[gaps++] = gap[i];
        }
        Train train = main < 0 ? null : solution.trains.get(main);
        double period = train == null ? Robust.median(clean, gaps) : train.meanPeriod;
        double spread = train == null ? Robust.spread(clean, gaps, period)
                : Math.sqrt(2 * train.jitter * train.jitter + train.walk);
        double jitter = train == null ? spread / Math.sqrt(2) : train.jitter;
        spread = Math.max(SHARPEST_SECONDS, spread);
        boolean separable = spread < MOST_JITTER * period * Math.sqrt(2);
        int split = separable ? split(gap, bridged, period, spread) : 0;
        int events = 0;
        for (byte b : solution.label) if (b >= solution.trains.size()) events++;
        if (main < 0) events = frames.count;
        GridLock lock = main < 0 ? new GridLock(Double.NaN, Double.NaN, 0, Double.NaN)
                : GridLock.of(frames, train, solution.label, solution.trains.size());
        int[] payload = main < 0 ? new int[3] : payload();
        int teeth = main < 0 ? 0 : train.teethWithin();
        int restarts = 0;
        for (Train t : solution.trains) restarts += t.restarts;
        return new MessageTiming(frames.key, frames.count, frames.remote, solution.trains.size(), events, period,
                jitter, gaps, split, teeth, main < 0 ? 0 : within(train) - teeth, lock.r(), lock.gridSeconds(),
                lock.events(), lock.log10Chance(), train == null ? Double.NaN : train.gapCorrelation, restarts,
                payload[0], payload[1], payload[2], separable, pairs(firstTrack, nominal));
    }

    private static int split(double[] gap, boolean[] bridged, double period, double spread) {
        int split = 0;
        for (int i = 0; i + 1 < gap.length; i++) {
            if (bridged[i] || bridged[i + 1]) continue;
            boolean bothShort = gap[i] < period - CLEAR * spread && gap[i + 1] < period - CLEAR * spread;
            if (bothShort && Math.abs(gap[i] + gap[i + 1] - period) < TOGETHER * spread) split++;
        }
        return split;
    }

    private int within(Train train) {
        double from = train.from() - train.meanPeriod / 2;
        double until = train.until() + train.meanPeriod / 2;
        int n = 0;
        for (double at : frames.at) if (at >= from && at <= until) n++;
        return n;
    }

    /** Frames off the main schedule: alike, returning, persisting, by the bits that change slowly within it. */
    private int[] payload() {
        long slow = PayloadTerm.slowBits(frames, solution.label, main, SLOW_BITS);
        int[] counts = new int[3];
        int[] next = new int[frames.count];
        int later = -1;
        for (int i = frames.count - 1; i >= 0; i--) {
            next[i] = later;
            if (sure(i) && solution.label[i] == main) later = i;
        }
        int last = -1;
        for (int i = 0; i < frames.count; i++) {
            if (!sure(i)) continue;
            if (solution.label[i] == main) {
                last = i;
                continue;
            }
            if (last < 0 || next[i] < 0) continue;
            long changed = (frames.word[i] ^ frames.word[last]) & slow;
            long after = (frames.word[next[i]] ^ frames.word[last]) & changed;
            if (changed == 0) counts[0]++;
            else if (after == 0) counts[1]++;
            else if (after == changed) counts[2]++;
        }
        return counts;
    }

    private boolean sure(int i) {
        return solution.confidence[i] >= PayloadTerm.SURE;
    }

    private List<CombPair> pairs(int firstTrack, double[] nominal) {
        List<CombPair> pairs = new ArrayList<>();
        for (int a = 0; a < solution.trains.size(); a++) {
            for (int b = a + 1; b < solution.trains.size(); b++) {
                Train first = solution.trains.get(a);
                Train second = solution.trains.get(b);
                PhaseDifference d = PhaseDifference.of(frames, first, nominal[a], frames, second, nominal[b]);
                boolean alike = Math.abs(first.meanPeriod / second.meanPeriod - 1) < 0.005;
                List<CombPair.Crossing> crossings = d.overlapSeconds() > 0 && alike
                        ? crossings(first, second) : List.of();
                pairs.add(new CombPair(firstTrack + a, firstTrack + b, d.overlapSeconds(), d.driftPpm(),
                        d.driftPpmError(), alike ? d.travelSeconds() : Double.NaN, crossings));
            }
        }
        return pairs;
    }

    static List<CombPair.Crossing> crossings(Train first, Train second) {
        List<CombPair.Crossing> found = new ArrayList<>();
        double close = CROSSING * Math.hypot(first.jitter, second.jitter);
        double begin = Double.NaN;
        double last = Double.NaN;
        int hint = 0;
        for (double at : first.tooth) {
            hint = second.nearest(at, hint);
            if (Math.abs(second.tooth[hint] - at) > close) continue;
            if (!(at - last < 5 * first.meanPeriod)) {
                if (!Double.isNaN(begin)) found.add(new CombPair.Crossing(begin, last));
                begin = at;
            }
            last = at;
        }
        if (!Double.isNaN(begin)) found.add(new CombPair.Crossing(begin, last));
        return found;
    }
}
