package buswitness.senders;

import buswitness.frames.Gap;
import java.util.List;

/** Which stretches were recorded. Gaps are kept apart and in order. */
final class RecordedTime {
    private final double[] from;
    private final double[] until;
    final double durationSeconds;

    RecordedTime(List<Gap> gaps, double durationSeconds) {
        List<Gap> sorted = gaps.stream().sorted((a, b) -> Long.compare(a.fromPicos(), b.fromPicos())).toList();
        from = new double[sorted.size()];
        until = new double[sorted.size()];
        for (int i = 0; i < from.length; i++) {
            from[i] = sorted.get(i).fromPicos() * 1e-12;
            until[i] = sorted.get(i).untilPicos() * 1e-12;
        }
        this.durationSeconds = durationSeconds;
    }

    /** Seconds between the two times that were recorded. */
    double between(double a, double b) {
        double seconds = b - a;
        for (int i = 0; i < from.length; i++) {
            double lost = Math.min(b, until[i]) - Math.max(a, from[i]);
            if (lost > 0) seconds -= lost;
        }
        return seconds;
    }

    boolean gapBetween(double a, double b) {
        for (int i = 0; i < from.length; i++) if (from[i] < b && until[i] > a) return true;
        return false;
    }

    boolean recorded(double at) {
        for (int i = 0; i < from.length; i++) if (at > from[i] && at < until[i]) return false;
        return at >= 0 && at <= durationSeconds;
    }
}
