package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.senders.WireMean.Trait;
import buswitness.stats.Robust;
import java.util.Arrays;
import java.util.HashSet;
import java.util.Set;

/**
 * Two transmitters seen in the frames of one message, whatever their times: bit length and asymmetry fall into two
 * heaps with a gap between (two means after S. Lloyd, IEEE Trans. Inf. Theory 28, 1982), and the heaps take turns. One
 * heap cut in two by chance never looks so: halves of a normal distribution lie 2.6 of their own deviations apart, of a
 * flat one 3.5. Heaps that follow each other in time once are a unit replaced, or one that warms up.
 */
final class WireSplit {
    /** Distance of the heaps in their own standard deviations. */
    private static final double CLEAR = 5;
    private static final double GAP = 0.2;
    private static final double TAIL = 0.05;
    /** Frames with fewer have few edges, which see few places of the tick. */
    private static final int FEWEST_BYTES = 3;
    private static final int FEWEST_PLACES = 12;
    /** Few edges see few places, and their slope moves the asymmetry besides. */
    private static final double FEW_EDGES = 1.3;
    private static final int FEWEST = 16;
    private static final int FEWEST_IN_HEAP = 4;
    private static final int FEWEST_TURNS = 6;
    private static final int ROUNDS = 12;
    private static final double CEILING = 20;
    /**
     * A heap's deviation counts as no less than this share of its frames' stated errors: a tick in step hides scatter.
     */
    private static final double LEAST_SPREAD = 0.7;

    /** For each frame of the message the heap, 0 or 1, or -1 where its wire timing is not known. */
    final byte[] heap;
    private final float[] odds;

    private WireSplit(byte[] heap, float[] odds) {
        this.heap = heap;
        this.odds = odds;
    }

    /** Cost in nats of giving a frame to a heap. */
    double cost(int frame, int toHeap) {
        if (heap[frame] < 0) return 0;
        return toHeap == 0 ? Math.max(0, odds[frame]) : Math.max(0, -odds[frame]);
    }

    /** Null where the wire shows no two heaps. */
    static WireSplit of(MessageFrames frames, FrameLog log, TickStep tick) {
        if (frames.count < FEWEST) return null;
        int n = 0;
        int[] index = new int[frames.count];
        double[] ppm = new double[frames.count];
        double[] nanos = new double[frames.count];
        double[] ppmError = new double[frames.count];
        double[] nanosError = new double[frames.count];
        for (int i = 0; i < frames.count; i++) {
            int f = frames.frame[i];
            if (!(log.bitPpmError(f) > 0) || !(log.asymmetryErrorNanos(f) > 0)) continue;
            index[n] = i;
            ppm[n] = log.bitPpm(f);
            nanos[n] = log.asymmetryNanos(f);
            ppmError[n] = log.bitPpmError(f);
            nanosError[n++] = log.asymmetryErrorNanos(f);
        }
        if (n < FEWEST) return null;
        int bytes = frames.length[index[n / 2]];
        double bits = tick.bits(log, frames.frame[index[n / 2]]);
        boolean few = bytes < FEWEST_BYTES || distinct(ppm, nanos, n) < FEWEST_PLACES;
        double middle = Robust.median(ppm, n);
        double nanosApart = few ? tick.heapsApartNanos(FEW_EDGES)
                : tick.heapsApart(Trait.ASYMMETRY_NANOS, middle, bits);
        double ppmApart = few ? tick.roundingPpm(true, bits) : tick.heapsApart(Trait.BIT_PPM, middle, bits);
        double ppmUnit = Math.max(Robust.median(ppmError, n), ppmApart / (CLEAR * LEAST_SPREAD));
        double nanosUnit = Math.max(Robust.median(nanosError, n), nanosApart / (CLEAR * LEAST_SPREAD));
        for (int i = 0; i < n; i++) {
            ppm[i] /= ppmUnit;
            nanos[i] /= nanosUnit;
        }
        double[] along = Arrays.copyOf(ppm, n);
        double[] across = Arrays.copyOf(nanos, n);
        double[] line = best(along, across);
        if (line == null) return null;
        WireSplit within = within(frames.count, index, along, across, line);
        return within != null ? within : made(frames.count, index, line);
    }

    /**
     * A small heap far off (frames that two senders sent as one) hides two that lie nearer to each other: where the
     * larger heap falls into two, of which the smaller holds more frames than the one far off, those are the
     * transmitters.
     */
    private static WireSplit within(int count, int[] index, double[] u, double[] v, double[] line) {
        int high = (int) Arrays.stream(line).filter(x -> x >= 0).count();
        boolean keepHigh = 2 * high > line.length;
        int kept = Math.max(high, line.length - high);
        int[] of = new int[kept];
        double[] along = new double[kept];
        double[] across = new double[kept];
        int n = 0;
        for (int i = 0; i < line.length && n < kept; i++) {
            if (line[i] >= 0 != keepHigh) continue;
            of[n] = index[i];
            along[n] = u[i];
            across[n++] = v[i];
        }
        if (n < FEWEST) return null;
        double[] inner = best(along, across);
        if (inner == null) return null;
        int upper = (int) Arrays.stream(inner).filter(x -> x >= 0).count();
        return Math.min(upper, n - upper) > line.length - kept ? made(count, of, inner) : null;
    }

    /** Different results among the frames: rounding to few places gives the same few again and again. */
    private static int distinct(double[] a, double[] b, int n) {
        Set<Long> seen = new HashSet<>();
        for (int i = 0; i < n; i++) seen.add(Double.doubleToLongBits(a[i]) * 31 + Double.doubleToLongBits(b[i]));
        return seen.size();
    }

    /** The frames' places on the line through both heaps, first heap at -distance / 2 in its own deviations. */
    private static double[] best(double[] u, double[] v) {
        double[] byU = heaps(u, v, u);
        double[] byV = heaps(u, v, v);
        double[] best = byU == null || byV != null && clarity(byV) > clarity(byU) ? byV : byU;
        return best;
    }

    /** Distance of the heaps' middles in the larger of their deviations; places are scaled to that deviation. */
    private static double clarity(double[] places) {
        double[] low = Arrays.stream(places).filter(x -> x < 0).toArray();
        double[] high = Arrays.stream(places).filter(x -> x >= 0).toArray();
        return Robust.median(high) - Robust.median(low);
    }

    private static double[] heaps(double[] u, double[] v, double[] first) {
        int n = u.length;
        double cut = cut(first);
        boolean[] high = new boolean[n];
        for (int i = 0; i < n; i++) high[i] = first[i] > cut;
        double[] c = new double[4];
        for (int round = 0; round < ROUNDS; round++) {
            double[] sum = new double[6];
            for (int i = 0; i < n; i++) {
                int k = high[i] ? 3 : 0;
                sum[k]++;
                sum[k + 1] += u[i];
                sum[k + 2] += v[i];
            }
            if (Math.min(sum[0], sum[3]) < FEWEST_IN_HEAP) return null;
            c = new double[] {sum[1] / sum[0], sum[2] / sum[0], sum[4] / sum[3], sum[5] / sum[3]};
            boolean moved = false;
            for (int i = 0; i < n; i++) {
                boolean now = Math.hypot(u[i] - c[2], v[i] - c[3]) < Math.hypot(u[i] - c[0], v[i] - c[1]);
                moved |= now != high[i];
                high[i] = now;
            }
            if (!moved) break;
        }
        double length = Math.hypot(c[2] - c[0], c[3] - c[1]);
        double[] places = new double[n];
        for (int i = 0; i < n; i++) {
            places[i] = ((u[i] - c[0]) * (c[2] - c[0]) + (v[i] - c[1]) * (c[3] - c[1])) / length - length / 2;
        }
        return scaled(places);
    }

    /** In units of the wider heap's deviation; null where the heaps are not clearly apart. */
    private static double[] scaled(double[] places) {
        double[] low = Arrays.stream(places).filter(x -> x < 0).sorted().toArray();
        double[] high = Arrays.stream(places).filter(x -> x >= 0).sorted().toArray();
        if (Math.min(low.length, high.length) < FEWEST_IN_HEAP) return null;
        double middleLow = Robust.median(low);
        double middleHigh = Robust.median(high);
        double spread = Math.max(LEAST_SPREAD, Math.max(Robust.spread(low, low.length, middleLow),
                Robust.spread(high, high.length, middleHigh)));
        double distance = middleHigh - middleLow;
        double gap = high[(int) (TAIL * high.length)] - low[(int) ((1 - TAIL) * low.length)];
        if (distance < CLEAR * spread || gap < GAP * distance) return null;
        double middle = (middleLow + middleHigh) / 2;
        double[] scaled = new double[places.length];
        for (int i = 0; i < scaled.length; i++) scaled[i] = (places[i] - middle) / spread;
        return scaled;
    }

    /** Where a row is best cut in two (least squares within, as N. Otsu, IEEE Trans. SMC 9, 1979). */
    private static double cut(double[] row) {
        double[] s = row.clone();
        Arrays.sort(s);
        double total = 0;
        for (double x : s) total += x;
        double sum = 0;
        double most = -1;
        double cut = s[0];
        for (int i = 0; i + 1 < s.length; i++) {
            sum += s[i];
            double low = sum / (i + 1);
            double high = (total - sum) / (s.length - i - 1);
            double between = (i + 1.0) * (s.length - i - 1) * (high - low) * (high - low);
            if (between > most) {
                most = between;
                cut = (s[i] + s[i + 1]) / 2;
            }
        }
        return cut;
    }

    private static WireSplit made(int count, int[] index, double[] places) {
        byte[] heap = new byte[count];
        float[] odds = new float[count];
        Arrays.fill(heap, (byte) -1);
        double distance = clarity(places);
        int turns = 0;
        int last = -1;
        for (int i = 0; i < places.length; i++) {
            int h = places[i] < 0 ? 0 : 1;
            heap[index[i]] = (byte) h;
            odds[index[i]] = (float) Math.max(-CEILING, Math.min(CEILING, places[i] * distance));
            if (last >= 0 && h != last) turns++;
            last = h;
        }
        return turns < FEWEST_TURNS ? null : new WireSplit(heap, odds);
    }
}
