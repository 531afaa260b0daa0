package buswitness.map;

import buswitness.frames.FrameLog;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Values over time, thinned so that extremes stay: of each stretch the least and the most. */
final class Traces {
    private Traces() {}

    static List<ValueTrace> of(MessageFacts facts, List<PayloadField> fields, int length, int most) {
        List<ValueTrace> all = new ArrayList<>();
        FrameLog log = facts.findings.frames();
        for (int f = 0; f < fields.size(); f++) {
            PayloadField field = fields.get(f);
            boolean shown = field.kind() != FieldKind.CONSTANT && field.kind() != FieldKind.CHECK
                    && field.kind() != FieldKind.COUNTER;
            if (!shown || field.width() > 52) continue;
            Signal signal = field.signal("");
            double[] at = new double[facts.frames.length];
            double[] raw = new double[at.length];
            int n = 0;
            for (int i : facts.frames) {
                if (log.dataLength(i) != length) continue;
                byte[] data = log.data(i);
                double value = signal.read(data, data.length);
                if (Double.isNaN(value)) continue;
                at[n] = log.startSeconds(i);
                raw[n++] = value;
            }
            all.add(thin(f, at, raw, n, most));
        }
        return all;
    }

    private static ValueTrace thin(int field, double[] at, double[] raw, int n, int most) {
        if (n <= most) return new ValueTrace(field, Arrays.copyOf(at, n), Arrays.copyOf(raw, n));
        int stretches = most / 2;
        double[] x = new double[2 * stretches];
        double[] y = new double[2 * stretches];
        for (int s = 0; s < stretches; s++) {
            int from = (int) ((long) n * s / stretches);
            int until = (int) ((long) n * (s + 1) / stretches);
            int least = from;
            int highest = from;
            for (int i = from; i < until; i++) {
                if (raw[i] < raw[least]) least = i;
                if (raw[i] > raw[highest]) highest = i;
            }
            int a = Math.min(least, highest);
            int b = Math.max(least, highest);
            x[2 * s] = at[a];
            y[2 * s] = raw[a];
            x[2 * s + 1] = at[b];
            y[2 * s + 1] = raw[b];
        }
        return new ValueTrace(field, x, y);
    }
}
