package buswitness.map;

import buswitness.frames.FrameLog;
import buswitness.schema.Signal;
import buswitness.stats.LineFit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Values on different messages that move together. Two slow values look alike by chance, so their levels must agree better
 * than when one is shifted in time, and their movements must agree too.
 */
final class Links {
    private static final int POINTS = 240;
    private static final double LEVELS = 0.95;
    private static final double LARGEST_LOG_CHANCE = -6;
    private static final int MOST_SERIES = 80;
    private static final int MOST_LINKS = 60;

    private record Series(long key, int field, double[] value) {}

    private Links() {}

    static List<Link> find(Traffic traffic, List<MapMessage> messages) {
        List<Series> all = new ArrayList<>();
        double from = 0;
        double until = traffic.seconds();
        for (MapMessage m : messages) {
            for (int f = 0; f < m.fields().size() && all.size() < MOST_SERIES; f++) {
                PayloadField field = m.fields().get(f);
                if (field.kind() != FieldKind.VALUE || field.changingBits() < 3 || field.width() > 32) continue;
                double[] values = sampled(traffic.messages.get(m.key()), field, m.length(), from, until);
                if (values != null) all.add(new Series(m.key(), f, values));
            }
        }
        List<Link> links = new ArrayList<>();
        double tries = Math.log10(Math.max(1, all.size() * (all.size() - 1) / 2.0));
        for (int i = 0; i < all.size(); i++) {
            for (int j = i + 1; j < all.size(); j++) {
                if (all.get(i).key == all.get(j).key) continue;
                Link link = pair(all.get(i), all.get(j), tries);
                if (link != null) links.add(link);
            }
        }
        links.sort(Comparator.comparingDouble(l -> -Math.abs(l.correlation())));
        return links.size() > MOST_LINKS ? links.subList(0, MOST_LINKS) : links;
    }

    /** The value held at evenly spaced instants; null where the message is not there throughout, or hardly moves. */
    private static double[] sampled(MessageFacts facts, PayloadField field, int length, double from, double until) {
        if (facts == null || facts.frames.length < POINTS / 4) return null;
        FrameLog log = facts.findings.frames();
        Signal signal = field.signal("");
        double[] out = new double[POINTS];
        int k = 0;
        double held = Double.NaN;
        double[] seen = new double[POINTS];
        int levels = 0;
        for (int p = 0; p < POINTS; p++) {
            double at = from + (p + 0.5) * (until - from) / POINTS;
            while (k < facts.frames.length && facts.start(k) <= at) {
                if (log.dataLength(facts.frames[k]) == length) {
                    double v = signal.read(log.data(facts.frames[k]), length);
                    if (!Double.isNaN(v)) held = v;
                }
                k++;
            }
            out[p] = held;
            if (p > 0 && !Double.isNaN(held) && (levels == 0 || seen[levels - 1] != held)) seen[levels++] = held;
        }
        int start = 0;
        while (start < POINTS && Double.isNaN(out[start])) start++;
        if (start > POINTS / 20 || levels < 8) return null;
        for (int p = 0; p < start; p++) out[p] = out[start];
        return out;
    }

    private static Link pair(Series a, Series b, double tries) {
        double level = correlation(a.value, b.value, 0);
        if (!(Math.abs(level) >= LEVELS)) return null;
        // Something that repeats itself fits when shifted too; that alone says little.
        for (int shift = POINTS / 12; shift < POINTS - POINTS / 12; shift += POINTS / 40) {
            if (Math.abs(correlation(a.value, b.value, shift)) >= Math.abs(level)) return null;
        }
        double moves = 0;
        for (int lag = -1; lag <= 1; lag++) {
            double r = correlation(steps(a.value), steps(b.value), Math.floorMod(lag, POINTS - 1));
            if (Math.abs(r) > Math.abs(moves)) moves = r;
        }
        // R. A. Fisher's transformation (1915): atanh r is normal with variance 1 / (n - 3).
        double z = 0.5 * Math.log((1 + Math.min(0.999999, Math.abs(moves))) / (1 - Math.min(0.999999, Math.abs(moves))))
                * Math.sqrt(POINTS - 4);
        double logChance = Math.min(0, -z * z / 2 / Math.log(10) + tries + Math.log10(3));
        if (logChance > LARGEST_LOG_CHANCE || Math.signum(moves) != Math.signum(level)) return null;
        LineFit fit = LineFit.leastSquares(a.value, b.value, POINTS);
        return new Link(a.key, a.field, b.key, b.field, moves, fit.slope(), fit.slopeError(), fit.at(0), logChance);
    }

    private static double[] steps(double[] v) {
        double[] s = new double[v.length - 1];
        for (int i = 1; i < v.length; i++) s[i - 1] = v[i] - v[i - 1];
        return s;
    }

    /** Pearson's, the second series turned round by {@code shift} places. */
    private static double correlation(double[] a, double[] b, int shift) {
        int n = a.length;
        double ma = 0;
        double mb = 0;
        for (int i = 0; i < n; i++) {
            ma += a[i] / n;
            mb += b[i] / n;
        }
        double ab = 0;
        double aa = 0;
        double bb = 0;
        for (int i = 0; i < n; i++) {
            double x = a[i] - ma;
            double y = b[(i + shift) % n] - mb;
            ab += x * y;
            aa += x * x;
            bb += y * y;
        }
        return aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0;
    }
}
