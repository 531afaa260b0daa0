package buswitness.report.finding;

import buswitness.clashes.ClashFindings;
import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * A message's frames as marks: one by one inside the detail windows, counted by sender in even bins outside. A mark's
 * code is {@code A} for sender 0 and so on, {@code ?} where undetermined, {@code !} for a damaged frame.
 */
final class FrameMarks {
    /** @param sparse bin (as the difference from the one before) and count, in turn */
    record Row(char code, int[] sparse) {}

    private final double[] times;
    private final String codes;
    private final int bins;
    private final List<Row> counted = new ArrayList<>();

    FrameMarks(FrameLog log, ClashFindings clashes, int[] frames, DetailPlan plan, double duration, int bins) {
        this.bins = bins;
        double[] at = new double[frames.length];
        StringBuilder kept = new StringBuilder();
        Map<Character, int[]> counts = new TreeMap<>();
        int n = 0;
        for (int i : frames) {
            double start = log.startSeconds(i);
            char code = code(log, clashes, i);
            if (plan.covers(start)) {
                at[n++] = start;
                kept.append(code);
            } else {
                int bin = Math.max(0, Math.min(bins - 1, (int) (start / duration * bins)));
                counts.computeIfAbsent(code, c -> new int[bins])[bin]++;
            }
        }
        times = java.util.Arrays.copyOf(at, n);
        codes = kept.toString();
        counts.forEach((code, row) -> counted.add(new Row(code, sparse(row))));
    }

    private static char code(FrameLog log, ClashFindings clashes, int i) {
        if (!log.isWhole(i)) return '!';
        int sender = clashes.senderOf(i);
        return sender < 0 ? '?' : (char) ('A' + Math.min(25, sender));
    }

    private static int[] sparse(int[] counts) {
        List<Integer> out = new ArrayList<>();
        int before = 0;
        for (int b = 0; b < counts.length; b++) {
            if (counts[b] == 0) continue;
            out.add(b - before);
            out.add(counts[b]);
            before = b;
        }
        return out.stream().mapToInt(Integer::intValue).toArray();
    }

    double[] times() {
        return times;
    }

    /** One character a kept frame. */
    String codes() {
        return codes;
    }

    int bins() {
        return bins;
    }

    List<Row> counted() {
        return counted;
    }
}
