package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.CombPair;
import buswitness.senders.TickStep;
import buswitness.senders.Track;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * Whether the wire alone proves two transmitters for two trains: bit lengths differ by far more than anything
 * between messages of one node, in either half of the time that both ran, and the trains were not sorted by the wire
 * itself. Only frames count that timing alone gives to their train, unless the two heaps lie so far apart that no
 * sorting of one heap could make them. Asymmetry alone proves nothing: ringing, and edges that lie in step with the tick,
 * move it frame by frame in one node too.
 */
final class WireProof {
    /** Standard errors, the floor of one node's messages included, over the whole and over either half. */
    private static final double PROVES = 8;
    private static final double HALF_PROVES = 4;
    /** One heap cut in two by its own noise: halves of a normal distribution lie 2.6 of their deviations apart. */
    private static final double HEAPS_APART = 4;
    private static final int FEWEST = 8;
    /** Control field and check sequence, beside the data. */
    private static final int FITTED_BITS = 18;
    private static final double CLEAR_JITTERS = 8;
    private static final double CLEAR_SHARE = 0.03;
    private static final double FAR_PERIODS = 30;

    private final MessageView view;
    private final FrameLog log;
    private final TickStep tick;
    private final double ppmFloor;

    WireProof(MessageView view, TickStep tick, double ppmFloor) {
        this.view = view;
        this.tick = tick;
        this.log = view.log;
        this.ppmFloor = ppmFloor;
    }

    boolean proves(Track a, Track b) {
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        int[] first = view.framesOf(a);
        int[] second = view.framesOf(b);
        int[] clearFirst = clear(first, second, a, b);
        int[] clearSecond = clear(second, first, b, a);
        boolean heaps = apart(within(first, from, until), within(second, from, until));
        int[] one = heaps ? first : clearFirst;
        int[] other = heaps ? second : clearSecond;
        double middle = middle(one, other, from, until);
        double whole = deviation(within(one, from, until), within(other, from, until));
        double early = deviation(within(one, from, middle), within(other, from, middle));
        double late = deviation(within(one, middle, until), within(other, middle, until));
        return Math.abs(whole) >= PROVES && early * Math.signum(whole) >= HALF_PROVES
                && late * Math.signum(whole) >= HALF_PROVES;
    }

    /** Time that halves the frames of the train that has fewer. */
    private double middle(int[] a, int[] b, double from, double until) {
        int[] fewer = a.length <= b.length ? within(a, from, until) : within(b, from, until);
        return fewer.length == 0 ? from : log.startSeconds(fewer[fewer.length / 2]);
    }

    private int[] within(int[] frames, double from, double until) {
        return Arrays.stream(frames)
                .filter(f -> log.startSeconds(f) >= from && log.startSeconds(f) <= until).toArray();
    }

    /** Signed, in standard errors; 0 where too few frames. */
    private double deviation(int[] a, int[] b) {
        WireMeans.Mean first = WireMeans.mean(log, a, true);
        WireMeans.Mean second = WireMeans.mean(log, b, true);
        if (first == null || second == null || Math.min(first.frames(), second.frames()) < FEWEST / 2) return 0;
        return Math.signum(first.value() - second.value())
                * WireMeans.deviation(first, second, ppmFloor);
    }

    private boolean apart(int[] a, int[] b) {
        double[] x = values(a);
        double[] y = values(b);
        if (Math.min(x.length, y.length) < FEWEST / 2) return false;
        double mx = Robust.median(x);
        double my = Robust.median(y);
        double spread = Math.max(Robust.spread(x, x.length, mx),
                Robust.spread(y, y.length, my));
        // Bit lengths round to nothing for a whole frame where the tick is in step: no heaps to be trusted.
        double bits = FITTED_BITS + 8 * log.dataLength(a[0]);
        boolean inStep = tick.inStep(Robust.median(values(a)), bits);
        double least = inStep ? Double.POSITIVE_INFINITY : tick.roundingPpm(false, bits);
        return Math.abs(mx - my) >= Math.max(least, HEAPS_APART * spread);
    }

    private double[] values(int[] frames) {
        return Arrays.stream(frames).filter(f -> log.bitPpmError(f) > 0 && log.asymmetryErrorNanos(f) > 0)
                .mapToDouble(log::bitPpm).toArray();
    }

    /** Frames that lie on no tooth of the other train, and outside the stretches where two combs meet. */
    private int[] clear(int[] frames, int[] others, Track own, Track other) {
        if (!other.cyclic()) return own.cyclic() ? frames : new int[0];
        double close = Math.max(CLEAR_JITTERS * other.jitterSeconds(), CLEAR_SHARE * other.periodSeconds());
        int[] kept = new int[frames.length];
        int n = 0;
        int k = 0;
        for (int frame : frames) {
            double at = log.startSeconds(frame);
            while (k < others.length && others[k] < frame) k++;
            boolean near = near(at, k > 0 ? others[k - 1] : -1, other, close)
                    || near(at, k < others.length ? others[k] : -1, other, close);
            if (!near && !meeting(at, own, other)) kept[n++] = frame;
        }
        return Arrays.copyOf(kept, n);
    }

    private boolean near(double at, int reference, Track other, double close) {
        if (reference < 0) return false;
        double since = Math.abs(at - log.startSeconds(reference)) / other.periodSeconds();
        return since < FAR_PERIODS && Math.abs(since - Math.rint(since)) * other.periodSeconds() < close;
    }

    private boolean meeting(double at, Track a, Track b) {
        if (view.timing == null) return false;
        for (CombPair pair : view.timing.pairs()) {
            boolean these = pair.first() == a.index() && pair.second() == b.index()
                    || pair.first() == b.index() && pair.second() == a.index();
            if (!these) continue;
            for (CombPair.Crossing c : pair.crossings()) if (at >= c.fromSeconds() && at <= c.untilSeconds()) return true;
        }
        return false;
    }
}
