package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.TickStep;
import buswitness.senders.Track;
import buswitness.senders.WireContrast;
import buswitness.senders.WireMean;
import buswitness.senders.WireMean.Trait;
import buswitness.stats.Robust;

/**
 * Whether the wire alone proves two transmitters for two trains that take turns: bit lengths, or asymmetries, differ by
 * far more than anything between messages of one node and than rounding may feign, in either half of the time that both
 * ran, and the frames compared were not sorted by the wire itself. Only frames count that timing alone gives to their
 * train ({@link TimingSets}), unless the two heaps lie so far apart that no sorting of one heap could make them.
 */
final class WireProof {
    /** Standard errors, the floor of one node's messages included, over the whole and over either half. */
    private static final double PROVES = 6.5;
    private static final double HALF_PROVES = 3;
    /** One heap cut in two by its own noise: halves of a normal distribution lie 2.6 of their deviations apart. */
    private static final double HEAPS_APART = 5;
    private static final double GAP = 0.2;
    private static final double TAIL = 0.05;
    private static final int FEWEST_TURNS = 6;

    private final MessageView view;
    private final FrameLog log;
    private final WireMeans means;

    WireProof(MessageView view, WireMeans means) {
        this.view = view;
        this.means = means;
        this.log = view.log;
    }

    boolean proves(Track a, Track b) {
        TimingSets sorted = TimingSets.sorted(view, a, b);
        for (Trait trait : Trait.values()) {
            if (!apart(sorted, trait)) continue;
            WireContrast heaps = means.contrast(view, sorted, trait, null, null);
            if (takeTurns(sorted) && heaps != null && proves(heaps.deviation(means.floor(trait)),
                    heaps.early(means.floor(trait)), heaps.late(means.floor(trait)), 0, 0, 0)) return true;
        }
        return proves(TimingSets.of(view, a, b), a, b) || proves(TimingSets.withoutWire(view, a, b), a, b);
    }

    private boolean proves(TimingSets sets, Track a, Track b) {
        if (!sets.enough() || !takeTurns(sets)) return false;
        WireContrast lengths = means.contrast(view, sets, Trait.BIT_PPM, a, b);
        WireContrast edges = means.contrast(view, sets, Trait.ASYMMETRY_NANOS, a, b);
        if (lengths == null || edges == null) return false;
        // A clock that wanders far differs from itself, but not from its own frames just before and after.
        double neighbours = Math.hypot(besideNeighbours(sets, Trait.BIT_PPM),
                besideNeighbours(sets, Trait.ASYMMETRY_NANOS));
        if (neighbours < HALF_PROVES) return false;
        double ppm = means.floor(Trait.BIT_PPM);
        double nanos = means.floor(Trait.ASYMMETRY_NANOS);
        return proves(lengths.deviation(ppm), lengths.early(ppm), lengths.late(ppm), edges.deviation(nanos),
                edges.early(nanos), edges.late(nanos));
    }

    private double besideNeighbours(TimingSets sets, Trait trait) {
        return WireContrast.besideNeighbours(log, sets.first(), sets.second(), trait, means.tick);
    }

    private static boolean takeTurns(TimingSets sets) {
        return sets.turns() >= FEWEST_TURNS;
    }

    /** Deviations of two traits whose errors have nothing to do with each other; each half must point the same way. */
    private static boolean proves(double x, double earlyX, double lateX, double y, double earlyY, double lateY) {
        double whole = Math.hypot(x, y);
        if (whole < PROVES) return false;
        return (x * earlyX + y * earlyY) / whole >= HALF_PROVES && (x * lateX + y * lateY) / whole >= HALF_PROVES;
    }

    /** Two heaps with a gap, beyond what rounding makes of one. */
    private boolean apart(TimingSets sets, Trait trait) {
        double[] x = WireMean.values(log, sets.first(), trait);
        double[] y = WireMean.values(log, sets.second(), trait);
        if (Math.min(x.length, y.length) < WireMean.FEWEST) return false;
        boolean up = Robust.median(y) > Robust.median(x);
        double[] low = up ? x : y;
        double[] high = up ? y : x;
        double distance = Robust.median(high) - Robust.median(low);
        double spread = Math.max(Robust.spread(low), Robust.spread(high));
        double gap = Robust.quantile(high, TAIL) - Robust.quantile(low, 1 - TAIL);
        TickStep tick = means.tick;
        double bits = Math.min(WireMean.bits(log, sets.first(), tick), WireMean.bits(log, sets.second(), tick));
        double ppm = trait == Trait.BIT_PPM ? Robust.median(low)
                : Robust.median(WireMean.values(log, sets.first(), Trait.BIT_PPM));
        double least = tick.heapsApart(trait, ppm, bits);
        return distance >= Math.max(least, HEAPS_APART * spread) && gap >= GAP * distance;
    }
}
