package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.instruments.Trace;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Protection;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;

/** Sums up what instruments and protections did over many drives. */
final class Outlooks {
    private static final double LIT_THROUGHOUT = 0.999;

    private Outlooks() {}

    static List<InstrumentOutlook> instruments(SharedBus bus, List<Drive> drives) {
        List<Instrument> watched = Drive.watched(bus);
        List<InstrumentOutlook> out = new ArrayList<>();
        for (int i = 0; i < watched.size(); i++) {
            if (bus.instruments().contains(watched.get(i))) out.add(instrument(watched.get(i), i, drives));
        }
        return out;
    }

    private static InstrumentOutlook instrument(Instrument instrument, int index, List<Drive> drives) {
        List<InstrumentFinding> found = drives.stream().map(d -> d.instruments().get(index)).toList();
        Map<Symptom, Integer> symptoms = new EnumMap<>(Symptom.class);
        for (InstrumentFinding f : found) symptoms.merge(f.symptom(), 1, Integer::sum);
        Symptom worst = symptoms.entrySet().stream().filter(e -> e.getKey() != Symptom.NONE)
                .max(Map.Entry.comparingByValue()).map(Map.Entry::getKey).orElse(Symptom.NONE);
        List<InstrumentFinding> showing = found.stream().filter(f -> f.symptom() == worst).toList();
        double[][] needle = found.stream().map(f -> needle(instrument, f.trace())).toArray(double[][]::new);
        int middle = middle(found, needle, worst);
        return new InstrumentOutlook(instrument, instrument instanceof Lamp, found.size(), symptoms, worst,
                worst == Symptom.NONE ? Cause.NONE : found.get(middle).cause(),
                spread(showing, InstrumentFinding::reversalsPerMinute),
                spread(showing, f -> f.levels().isEmpty() ? Double.NaN : f.levels().get(0)),
                spread(showing, f -> f.levels().isEmpty() ? Double.NaN : f.levels().get(f.levels().size() - 1)),
                spread(showing, f -> instrument instanceof Gauge ? swing(f.trace()) : Double.NaN),
                Spread.of(column(needle, 0)), Spread.of(column(needle, 1)),
                spread(found, InstrumentFinding::litShare), found.get(middle).trace(), middle + 1);
    }

    private interface Figure {
        double of(InstrumentFinding finding);
    }

    private static Spread spread(List<InstrumentFinding> found, Figure figure) {
        return Spread.of(found.stream().mapToDouble(figure::of).toArray());
    }

    private static double[] column(double[][] rows, int column) {
        double[] out = new double[rows.length];
        for (int i = 0; i < out.length; i++) out[i] = rows[i][column];
        return out;
    }

    /** Lowest and highest place of a needle once it has settled, both NaN for a lamp or without any value. */
    static double[] needle(Instrument instrument, Trace trace) {
        double low = Double.NaN;
        double high = Double.NaN;
        if (!(instrument instanceof Gauge gauge) || trace.atSeconds().length == 0) return new double[] {low, high};
        double from = trace.atSeconds()[0] + 2 * gauge.settlesSeconds();
        for (int i = 0; i < trace.shown().length; i++) {
            double shown = trace.shown()[i];
            if (trace.atSeconds()[i] < from || Double.isNaN(shown)) continue;
            low = Double.isNaN(low) ? shown : Math.min(low, shown);
            high = Double.isNaN(high) ? shown : Math.max(high, shown);
        }
        return new double[] {low, high};
    }

    /** Median way of the needle between two turns; NaN where it never turns. The first tenth of the drive is left out. */
    static double swing(Trace trace) {
        float[] shown = trace.shown();
        List<Double> ways = new ArrayList<>();
        double last = Double.NaN;
        for (int i = Math.max(1, shown.length / 10); i + 1 < shown.length; i++) {
            boolean turns = (shown[i] - shown[i - 1]) * (shown[i + 1] - shown[i]) < 0;
            if (!turns) continue;
            if (!Double.isNaN(last)) ways.add(Math.abs(shown[i] - last));
            last = shown[i];
        }
        return Robust.median(ways.stream().mapToDouble(Double::doubleValue).toArray());
    }

    /** Of the drives that show the symptom the middle one, by how far the needle moves or how long the lamp is lit. */
    private static int middle(List<InstrumentFinding> found, double[][] needle, Symptom worst) {
        List<Integer> order = new ArrayList<>();
        for (int i = 0; i < found.size(); i++) if (found.get(i).symptom() == worst) order.add(i);
        order.sort(Comparator.comparingDouble(i -> {
            double size = found.get(i).lamp() ? found.get(i).litShare() : needle[i][1] - needle[i][0];
            return Double.isNaN(size) ? -1 : size;
        }));
        return order.get((order.size() - 1) / 2);
    }

    static List<ProtectionOutlook> protections(SharedBus bus, List<Drive> drives) {
        List<Instrument> watched = Drive.watched(bus);
        List<ProtectionOutlook> out = new ArrayList<>();
        for (Protection p : bus.protections()) {
            if (p.watch() == null) continue;
            Supply supply = Supplies.of(bus, p.watch());
            int index = watched.indexOf(p.watch());
            double[] longest = new double[drives.size()];
            int acts = 0;
            for (int d = 0; d < longest.length; d++) {
                longest[d] = longestLit(drives.get(d).instruments().get(index).trace(), drives.get(d).seconds());
                if (longest[d] > 0 && longest[d] >= p.afterSeconds()) acts++;
            }
            out.add(new ProtectionOutlook(p, supply.carriers(), supply.others(), longest.length, Spread.of(longest),
                    acts));
        }
        return out;
    }

    private static double longestLit(Trace trace, double end) {
        double longest = 0;
        double since = Double.NaN;
        for (int i = 0; i < trace.atSeconds().length; i++) {
            boolean lit = trace.shown()[i] > 0.5;
            if (lit && Double.isNaN(since)) since = trace.atSeconds()[i];
            if (!lit && !Double.isNaN(since)) {
                longest = Math.max(longest, trace.atSeconds()[i] - since);
                since = Double.NaN;
            }
        }
        return Double.isNaN(since) ? longest : Math.max(longest, end - since);
    }

    /** Whether an instrument misbehaved in any of the drives. */
    static boolean behaves(SharedBus bus, Instrument instrument, List<Drive> drives) {
        int index = Drive.watched(bus).indexOf(instrument);
        return index < 0 || drives.stream().allMatch(d -> d.instruments().get(index).symptom() == Symptom.NONE);
    }

    /** A lamp on the bus that is lit whenever anything is known of it, in all of the drives. */
    static boolean litThroughout(SharedBus bus, Instrument instrument, List<Drive> drives) {
        int index = Drive.watched(bus).indexOf(instrument);
        return instrument instanceof Lamp && index >= 0
                && drives.stream().allMatch(d -> d.instruments().get(index).litShare() > LIT_THROUGHOUT);
    }

    static long keyOf(Instrument instrument) {
        return MessageKey.of(instrument.message());
    }
}
