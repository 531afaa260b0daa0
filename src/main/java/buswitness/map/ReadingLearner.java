package buswitness.map;

import buswitness.frames.FrameLog;
import buswitness.schema.Signal;
import buswitness.stats.LineFit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Numbers that follow readings: a straight line from the number to the reading, with its errors. The chance that an unrelated
 * number fits n readings with the share R² of their variance is below (1 - R²)^((n-2)/2) (from the distribution of the
 * correlation, R. A. Fisher, Biometrika 10, 1915).
 */
final class ReadingLearner {
    /** Points taken from a ramp: more would not be independent. */
    private static final int RAMP_POINTS = 5;
    /** Nobody reads a gauge better than this share of what was covered; common practice, no source. */
    private static final double READ_SHARE = 0.004;
    private static final double FOUND_FIELD = 0.5;
    private static final double LATEST_SECONDS = 3;

    private record Point(int recording, double at, double value) {}

    private final List<Traffic> traffics;
    private final List<Point> points = new ArrayList<>();
    private final double span;

    ReadingLearner(List<Traffic> traffics, List<List<Deed>> deeds) {
        this.traffics = traffics;
        for (int r = 0; r < traffics.size(); r++) {
            for (Deed d : deeds.get(r)) {
                boolean ramp = d.untilSeconds() > d.fromSeconds();
                int n = ramp ? RAMP_POINTS : 1;
                for (int k = 0; k < n; k++) {
                    double share = ramp ? (double) k / (n - 1) : 0;
                    double at = d.fromSeconds() + share * (ramp ? d.untilSeconds() - d.fromSeconds() : 0);
                    points.add(new Point(r, at, d.value() + share * (d.untilValue() - d.value())));
                }
            }
        }
        double low = points.stream().mapToDouble(Point::value).min().orElse(0);
        double high = points.stream().mapToDouble(Point::value).max().orElse(0);
        span = high - low;
    }

    int told() {
        return points.size();
    }

    void tryOut(MapMessage m, List<Learned.Candidate> out) {
        if (!(span > 0)) return;
        Set<String> tried = new HashSet<>();
        for (PayloadField f : m.fields()) {
            if (f.kind() == FieldKind.VALUE && f.width() <= 48) consider(m, f, true, tried, out);
        }
        // Whole bytes and pairs of them, in case the structure was cut wrongly.
        for (int first = 0; first < 8 * m.length(); first += 8) {
            boolean settled = covered(m, first);
            if (settled) continue;
            for (int form = 0; form < 5; form++) {
                int width = form < 2 ? 8 : 16;
                if (first + width > 8 * m.length() || width == 16 && covered(m, first + 8)) continue;
                boolean low = form == 3 || form == 4;
                boolean signed = form == 1 || form == 4;
                consider(m, new PayloadField(FieldKind.VALUE, first, width, low, signed, null, 0.5, width, 0, 0, ""), false,
                        tried, out);
            }
        }
    }

    /** Bytes that are constant, counted or checked hold no reading, nor do those of pages. */
    private static boolean covered(MapMessage m, int first) {
        boolean moves = false;
        for (PayloadField f : m.fields()) {
            boolean here = f.firstBit() < first + 8 && f.endBit() > first;
            if (!here) continue;
            if (f.kind() == FieldKind.PAGE || f.kind() == FieldKind.CHECK || f.page() != null) return true;
            moves |= f.kind() == FieldKind.VALUE || f.kind() == FieldKind.FLAG || f.kind() == FieldKind.UNCLEAR;
        }
        return !moves;
    }

    private void consider(MapMessage m, PayloadField f, boolean found, Set<String> tried, List<Learned.Candidate> out) {
        if (!tried.add(f.firstBit() + "/" + f.width() + f.lowByteFirst() + f.signed() + f.page())) return;
        double[] x = new double[points.size()];
        double[] y = new double[points.size()];
        int n = 0;
        for (Point p : points) {
            double raw = at(traffics.get(p.recording).messages.get(m.key()), f, m.length(), p.at);
            if (Double.isNaN(raw)) continue;
            x[n] = raw;
            y[n++] = p.value;
        }
        if (n < 2 || Arrays.stream(x, 0, n).distinct().count() < 2) return;
        LineFit fit = LineFit.leastSquares(x, y, n);
        if (!(Math.abs(fit.slope()) > 0)) return;
        double mean = Arrays.stream(y, 0, n).average().orElse(0);
        double total = 0;
        double rest = 0;
        for (int i = 0; i < n; i++) {
            total += (y[i] - mean) * (y[i] - mean);
            rest += (y[i] - fit.at(x[i])) * (y[i] - fit.at(x[i]));
        }
        double floor = n * READ_SHARE * READ_SHARE * span * span;
        double share = (rest + floor) / (total + floor);
        double logChance = n < 3 ? 0 : (n - 2) / 2.0 * Math.log10(share);
        double score = -n / 2.0 * Math.log10(rest + floor) + n / 2.0 * Math.log10(total + floor) + (found ? FOUND_FIELD : 0);
        double zeroError = n < 3 ? Double.NaN : Math.hypot(fit.interceptError(), fit.slopeError() * fit.centre());
        int matched = 0;
        double near = Math.max(2.5 * Math.sqrt(rest / Math.max(1, n - 2)), 0.03 * span);
        for (int i = 0; i < n; i++) if (Math.abs(y[i] - fit.at(x[i])) <= near) matched++;
        out.add(new Learned.Candidate(m.key(), f, found, 0, false, fit.slope(), n < 3 ? Double.NaN : fit.slopeError(),
                fit.at(0), zeroError, n < 3 ? Double.NaN : fit.residual(), matched, score, logChance));
    }

    /** The number shown at an instant: that of the last frame, or of the first one soon after. */
    private static double at(MessageFacts facts, PayloadField f, int length, double at) {
        if (facts == null) return Double.NaN;
        FrameLog log = facts.findings.frames();
        Signal signal = f.signal("");
        double held = Double.NaN;
        for (int k = 0; k < facts.frames.length; k++) {
            boolean after = facts.start(k) > at;
            if (after && (!Double.isNaN(held) || facts.start(k) > at + LATEST_SECONDS)) break;
            if (log.dataLength(facts.frames[k]) != length) continue;
            double v = signal.read(log.data(facts.frames[k]), length);
            if (!Double.isNaN(v) && (after || facts.start(k) >= at - Math.max(LATEST_SECONDS, 3 * facts.usualPause()))) held = v;
        }
        return held;
    }
}
