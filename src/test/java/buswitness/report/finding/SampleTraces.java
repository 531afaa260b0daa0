package buswitness.report.finding;

import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.instruments.Trace;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import java.util.Arrays;
import java.util.List;

/** Replays the sample bus on an instrument, plainly: enough for a picture, no analysis. */
final class SampleTraces {
    private SampleTraces() {}

    static InstrumentFinding finding(SampleBus bus, Instrument i, Symptom symptom, Cause cause) {
        Trace trace = trace(bus, i);
        boolean lamp = i instanceof Lamp;
        int reversals = symptom == Symptom.FLAPPING ? trace.told().length - 2 : 0;
        double[] told = new double[trace.told().length];
        for (int k = 0; k < told.length; k++) told[k] = trace.told()[k];
        double low = Arrays.stream(told).min().orElse(0);
        double high = Arrays.stream(told).max().orElse(0);
        double lit = 0;
        for (float s : trace.shown()) lit += s;
        boolean flaps = symptom == Symptom.FLAPPING;
        return new InstrumentFinding(i.name(), lamp, i.signal().name(), i.signal().unit(), MessageKey.of(i.message()),
                symptom, cause, reversals, reversals * 1.5, flaps ? 0.995 : Double.NaN, flaps ? 0.5 : Double.NaN,
                flaps ? 0.018 : Double.NaN, flaps ? List.of(low, high) : List.of(), flaps ? high - low : 0,
                lamp ? lit / Math.max(1, told.length) : Double.NaN,
                flaps ? "It goes to and fro between what A and what B say." : "", trace);
    }

    static Trace trace(SampleBus bus, Instrument i) {
        long key = MessageKey.of(i.message());
        int n = 0;
        for (int f = 0; f < bus.log.size(); f++) if (bus.log.key(f) == key && bus.log.isWhole(f)) n++;
        double[] at = new double[n];
        float[] told = new float[n];
        float[] shown = new float[n];
        int[] sender = new int[n];
        double needle = Double.NaN;
        int k = 0;
        for (int f = 0; f < bus.log.size(); f++) {
            if (bus.log.key(f) != key || !bus.log.isWhole(f)) continue;
            at[k] = bus.log.startSeconds(f);
            double value = i.signal().read(bus.log.data(f), bus.log.dataLength(f));
            told[k] = (float) value;
            sender[k] = bus.sender.get(f);
            if (i instanceof Gauge g) {
                if (k == 0) needle = g.shareOf(value);
                else needle += (g.shareOf(told[k - 1]) - needle) * (1 - Math.exp(-3 * (at[k] - at[k - 1])
                        / g.settlesSeconds()));
                shown[k] = (float) needle;
            } else if (i instanceof Lamp l) {
                shown[k] = l.isLit(value) ? 1 : 0;
            }
            k++;
        }
        return new Trace(at, told, shown, sender);
    }
}
