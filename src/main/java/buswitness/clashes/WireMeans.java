package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.senders.ClockGroup;
import buswitness.senders.SenderFindings;
import buswitness.senders.TickStep;
import buswitness.senders.Track;
import buswitness.senders.WireContrast;
import buswitness.senders.WireMean;
import buswitness.senders.WireMean.Trait;
import java.util.ArrayList;
import java.util.List;

/**
 * Mean bit length and dominant/recessive asymmetry of a train of frames. Means over hundreds of frames see below the
 * recorder's tick, because drifting phases dither it; different payloads of one node still differ by a floor, which the
 * one-train messages of a clock group measure.
 */
final class WireMeans {
    /** Floors below which no difference is believed, whatever the bus shows. */
    private static final double DENIES = 5;
    private static final double DENIES_SHARE = 0.5;
    /** Bits that differ clearly, and by the drift: one miss in ten would lie so near by chance. */
    private static final double DIFFERS = 3.5;
    private static final double AGREES = 2;
    private static final double AS_DRIFT = 1;
    private static final double LIKE = 4;
    private static final double UNLIKE = 6;
    private static final double UNKNOWN_PPM_FLOOR = 2;
    private static final double UNKNOWN_NANOS_FLOOR = 2;
    private static final double LEAST_PPM_FLOOR = 0.5;
    private static final double LEAST_NANOS_FLOOR = 0.5;
    private static final double LEAST_TICK_SHARE = 0.005;
    /** Only means as sharp as this may say that two trains look alike: most nodes differ by more. */
    private static final double FINE_PPM = 5;
    private static final double FINE_NANOS = 5;
    private static final int FEWEST_PAIRS = 2;
    /** Median of chi-square with one degree of freedom. */
    private static final double MEDIAN_CHI_SQUARE = 0.455;
    private static final double EVENTS_DITHER = 10;
    /** Means so near, ppm or nanoseconds, beside their errors, may be one node's. */
    private static final double ALIKE = 1;

    final TickStep tick;
    final double ppmFloor;
    final double nanosFloor;
    /** The recorder's tick. */
    final double tickNanos;
    /** Whether frames on either side of a multiple of two ticks mean two transmitters on this bus. */

    record Traits(WireMean ppm, WireMean nanos) {}

    private WireMeans(TickStep tick, double ppmFloor, double nanosFloor) {
        this.tick = tick;
        this.ppmFloor = ppmFloor;
        this.nanosFloor = nanosFloor;
        tickNanos = tick.tickNanos();
    }

    /** Learns the floors from messages with one comb whose clocks agree. */
    static WireMeans learn(List<MessageView> views, FrameLog log, BusInfo bus, SenderFindings findings) {
        TickStep tick = TickStep.of(log, bus);
        WireMeans learning = new WireMeans(tick, 0, 0);
        WireFloor ppm = new WireFloor();
        WireFloor nanos = new WireFloor();
        for (ClockGroup group : findings.groups()) {
            List<Traits> traits = new ArrayList<>();
            for (MessageView view : views) {
                if (view.tracks.size() != 1 || view.tracks.get(0).group() != group.index()) continue;
                Traits of = learning.traits(view, view.tracks.get(0));
                if (of != null) traits.add(of);
            }
            // A clock group may hold two nodes; the other trait tells them.
            for (List<Traits> alike : WireFloor.alike(traits, Traits::nanos, ALIKE)) {
                ppm.group(alike.stream().map(Traits::ppm).toList());
            }
            for (List<Traits> alike : WireFloor.alike(traits, Traits::ppm, ALIKE)) {
                nanos.group(alike.stream().map(Traits::nanos).toList());
            }
        }
        double tickShare = LEAST_TICK_SHARE * tick.tickNanos();
        return new WireMeans(tick, ppm.of(UNKNOWN_PPM_FLOOR, LEAST_PPM_FLOOR),
                nanos.of(Math.max(UNKNOWN_NANOS_FLOOR, tickShare), Math.max(LEAST_NANOS_FLOOR, tickShare)));
    }

    double floor(Trait trait) {
        return trait == Trait.BIT_PPM ? ppmFloor : nanosFloor;
    }

    /**
     * What must be added to each mean's error so that pairs scatter as they do; by medians, for a group may err.
     *
     * @param pairs square of a difference, and the square of its standard error
     */
    static double floor(List<double[]> pairs) {
        if (pairs.size() < FEWEST_PAIRS) return 0;
        double[] ratios = pairs.stream().mapToDouble(p -> p[0] / p[1]).sorted().toArray();
        double[] errors = pairs.stream().mapToDouble(p -> p[1]).sorted().toArray();
        double stretch = ratios[ratios.length / 2] / MEDIAN_CHI_SQUARE;
        return stretch < 1.5 ? 0 : Math.sqrt((stretch - 1) * errors[errors.length / 2] / 2);
    }

    /** Null where the wire was not seen well enough to ask. */
    Evidence compare(MessageView view, Track a, Track b, Timing.Result timing) {
        TimingSets sets = TimingSets.of(view, a, b);
        TimingSets named = TimingSets.withoutWire(view, a, b);
        if (deviation(view, named, a, b) > deviation(view, sets, a, b)) sets = named;
        boolean free = sets.enough();
        boolean besides = timing.relation() != Timing.Relation.ONE_AFTER_THE_OTHER;
        if (!free) {
            sets = besides ? TimingSets.sorted(view, a, b) : new TimingSets(view.framesOf(a), view.framesOf(b));
        }
        Traits first = traits(view, sets.first(), free ? a : null);
        Traits second = traits(view, sets.second(), free ? b : null);
        if (first == null || second == null) return null;
        double ppm = Math.abs(first.ppm.deviation(second.ppm, ppmFloor));
        double nanos = Math.abs(first.nanos.deviation(second.nanos, nanosFloor));
        if (besides) {
            WireContrast lengths = contrast(view, sets, Trait.BIT_PPM, free ? a : null, free ? b : null);
            WireContrast edges = contrast(view, sets, Trait.ASYMMETRY_NANOS, free ? a : null, free ? b : null);
            if (lengths == null || edges == null) return null;
            ppm = Math.abs(lengths.deviation(ppmFloor));
            nanos = Math.abs(edges.deviation(nanosFloor));
        }
        double z = Math.hypot(ppm, nanos);
        int frames = first.ppm.frames() + second.ppm.frames();
        double from = Math.min(a.fromSeconds(), b.fromSeconds());
        double until = Math.max(a.untilSeconds(), b.untilSeconds());
        String figures = Say.text("bit length %s against %s; dominant bits %+.1f +/- %.1f ns against %+.1f +/- %.1f ns;"
                        + " messages of one node differ by up to %.1f ppm and %.1f ns here",
                Say.ppm(first.ppm.value(), first.ppm.error()), Say.ppm(second.ppm.value(), second.ppm.error()),
                first.nanos.value(), first.nanos.error(), second.nanos.value(), second.nanos.error(), ppmFloor,
                nanosFloor);
        double bits = second.ppm.value() - first.ppm.value();
        double bitsError = combined(first.ppm, second.ppm, ppmFloor);
        boolean asDrift = z > 3 && follows(timing, bits, bitsError);
        if (z > 4 || asDrift) {
            boolean proves = new WireProof(view, this).proves(a, b);
            double strength = Math.min(Strength.MOST, Strength.ofDeviation(z) + (asDrift ? AS_DRIFT : 0));
            return new Evidence(Kind.WIRE, "The two schedules differ on the wire: " + figures + Say.text(
                    " (%.0f standard errors%s).", z, asDrift ? "; the bits differ by what the schedules drift" : ""),
                    strength, from, until, frames, proves);
        }
        boolean fine = combined(first.ppm, second.ppm, ppmFloor) <= FINE_PPM
                && combined(first.nanos, second.nanos, nanosFloor) <= FINE_NANOS;
        if (z < 2 && fine) {
            return new Evidence(Kind.WIRE, "The two schedules look alike on the wire: " + figures + ".", -1, from,
                    until,
                    frames, false);
        }
        return null;
    }

    /**
     * Whether the bits of both trains last so equally long that they cannot come from two oscillators as far apart as
     * their schedules drift: then something else than a second crystal moves the schedules.
     */
    boolean denies(MessageView view, Track a, Track b, double driftPpm) {
        WireContrast lengths = contrast(view, TimingSets.sorted(view, a, b), Trait.BIT_PPM, a, b);
        if (lengths == null || Double.isNaN(driftPpm)) return false;
        double apart = Math.abs(lengths.difference());
        double error = Math.hypot(lengths.error(), Math.sqrt(2) * ppmFloor) + lengths.bound();
        // Frames given to the wrong train where the two meet bring the means nearer to each other.
        return apart < DENIES_SHARE * Math.abs(driftPpm) && Math.abs(driftPpm) - apart > DENIES * error;
    }

    /** Whether the bits of the second train are longer by what its period is longer: one crystal times both. */
    private static boolean follows(Timing.Result timing, double bits, double error) {
        double drift = timing.driftPpm();
        if (timing.relation() != Timing.Relation.DRIFTING || Double.isNaN(drift)) return false;
        double miss = Math.hypot(error, timing.driftErrorPpm());
        return Math.abs(bits) >= DIFFERS * error && Math.abs(drift) >= DIFFERS * miss
                && Math.abs(bits - drift) <= AGREES * miss;
    }

    /**
     * Whose transmitter a third train of the message has: -1 the first's, 1 the second's, 0 where the wire does not
     * say.
     */
    int like(MessageView view, Track third, Track a, Track b) {
        Traits mine = traits(view, third);
        Traits first = traits(view, a);
        Traits second = traits(view, b);
        if (mine == null || first == null || second == null) return 0;
        double toFirst = apart(mine, first);
        double toSecond = apart(mine, second);
        if (toFirst < LIKE && toSecond > UNLIKE) return -1;
        return toSecond < LIKE && toFirst > UNLIKE ? 1 : 0;
    }

    private double apart(Traits a, Traits b) {
        return Math.hypot(a.ppm.deviation(b.ppm, ppmFloor), a.nanos.deviation(b.nanos, nanosFloor));
    }

    private static double combined(WireMean a, WireMean b, double floor) {
        return Math.sqrt(a.error() * a.error() + b.error() * b.error() + 2 * floor * floor);
    }

    /** Both means over all frames of a train; null where too few show them. */
    Traits traits(MessageView view, Track track) {
        return traits(view, view.framesOf(track), track);
    }

    private Traits traits(MessageView view, int[] frames, Track track) {
        WireMean ppm = mean(view, frames, Trait.BIT_PPM, track);
        WireMean nanos = mean(view, frames, Trait.ASYMMETRY_NANOS, track);
        return ppm == null || nanos == null ? null : new Traits(ppm, nanos);
    }

    /** Standard errors of both traits together; -1 where too few frames show them. */
    private double deviation(MessageView view, TimingSets sets, Track a, Track b) {
        if (!sets.enough()) return -1;
        WireContrast lengths = contrast(view, sets, Trait.BIT_PPM, a, b);
        WireContrast edges = contrast(view, sets, Trait.ASYMMETRY_NANOS, a, b);
        return lengths == null || edges == null ? -1
                : Math.hypot(lengths.deviation(ppmFloor), edges.deviation(nanosFloor));
    }

    /** Null where they do not run side by side, or too few frames show it. Tracks as for {@link #mean}. */
    WireContrast contrast(MessageView view, TimingSets sets, Trait trait, Track a, Track b) {
        return WireContrast.of(view.log, sets.first(), sets.second(), trait, tick, dither(view, sets.first(), a),
                dither(view, sets.second(), b));
    }

    /**
     * Frames of a train, or some of them; of no train where they may have been sorted by the wire, so that their
     * rounding is no longer free. Events need not wait for a timer: their starts see every place of the tick. */
    WireMean mean(MessageView view, int[] frames, Trait trait, Track track) {
        return WireMean.of(view.log, frames, trait, tick, dither(view, frames, track));
    }

    private double dither(MessageView view, int[] frames, Track track) {
        if (track == null) return 0;
        return track.cyclic() ? tick.dither(view.log, frames, track.periodSeconds()) : EVENTS_DITHER;
    }
}
