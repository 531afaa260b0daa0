package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.frames.FrameLog;
import buswitness.report.parts.Names;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** One value of a message over time, sender by sender: a signal of the layout, or a bare byte without one. */
record ValueSeries(String name, String message, String unit, List<Line> lines) {
    private static final int MOST_SIGNALS = 5;

    /** @param mark sender's index, -1 where undetermined */
    record Line(int mark, double[] at, float[] values) {}

    private interface Reading {
        double of(FrameLog log, int frame);
    }

    static List<ValueSeries> of(Findings findings, Names names, MessageFinding message, int[] frames) {
        List<ValueSeries> out = new ArrayList<>();
        Message documented = names.documented(message.key());
        String title = names.message(message.key());
        if (documented != null && !documented.carries().isEmpty()) {
            for (Signal s : documented.carries()) {
                if (out.size() >= MOST_SIGNALS) break;
                out.add(new ValueSeries(s.name(), title, s.unit(), lines(findings, frames,
                        (log, i) -> s.read(log.data(i), log.dataLength(i)))));
            }
            return out;
        }
        for (int at = 0; at < 8 && out.size() < MOST_SIGNALS; at++) {
            int place = at;
            Reading reading = (log, i) -> place < log.dataLength(i) ? log.dataByte(i, place) : Double.NaN;
            if (varies(findings.frames(), frames, reading)) {
                out.add(new ValueSeries("byte " + (at + 1), title, "", lines(findings, frames, reading)));
            }
        }
        return out;
    }

    private static boolean varies(FrameLog log, int[] frames, Reading reading) {
        double first = Double.NaN;
        for (int i : frames) {
            if (!log.isWhole(i)) continue;
            double v = reading.of(log, i);
            if (Double.isNaN(first)) first = v;
            else if (!Double.isNaN(v) && v != first) return true;
        }
        return false;
    }

    private static List<Line> lines(Findings findings, int[] frames, Reading reading) {
        FrameLog log = findings.frames();
        Map<Integer, Integer> count = new TreeMap<>();
        for (int i : frames) if (log.isWhole(i)) count.merge(findings.clashes().senderOf(i), 1, Integer::sum);
        List<Line> out = new ArrayList<>();
        for (Map.Entry<Integer, Integer> c : count.entrySet()) {
            double[] at = new double[c.getValue()];
            float[] values = new float[c.getValue()];
            int n = 0;
            for (int i : frames) {
                if (!log.isWhole(i) || log.isRemote(i) || findings.clashes().senderOf(i) != c.getKey()) continue;
                double v = reading.of(log, i);
                if (Double.isNaN(v)) continue;
                at[n] = log.startSeconds(i);
                values[n++] = (float) v;
            }
            if (n > 0) {
                out.add(new Line(c.getKey(), java.util.Arrays.copyOf(at, n), java.util.Arrays.copyOf(values, n)));
            }
        }
        return out;
    }
}
