package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.senders.ClockGroup;
import buswitness.senders.SenderFindings;
import buswitness.senders.TickStep;
import buswitness.senders.Track;
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
    private static final double LEAST_PPM_FLOOR = 2;
    private static final double LEAST_NANOS_FLOOR = 2;
    private static final double LEAST_TICK_SHARE = 0.01;
    /** Only means as sharp as this may say that two trains look alike: most nodes differ by more. */
    private static final double FINE_PPM = 5;
    private static final double FINE_NANOS = 5;
    private static final int FEWEST_FRAMES = 8;
    private static final int FEWEST_PAIRS = 2;
    /** Median of chi-square with one degree of freedom. */
    private static final double MEDIAN_CHI_SQUARE = 0.455;

    private final TickStep tick;
    final double ppmFloor;
    final double nanosFloor;
    /** The recorder's tick. */
    final double tickNanos;

    /** Mean, standard error. */
    record Mean(double value, double error, int frames) {}

    record Trait(Mean ppm, Mean nanos) {}

    private WireMeans(TickStep tick, double ppmFloor, double nanosFloor) {
        this.tick = tick;
        this.ppmFloor = ppmFloor;
        this.nanosFloor = nanosFloor;
        tickNanos = tick.tickNanos();
    }

    /** Learns the floors from messages with one comb whose clocks agree. */
    static WireMeans learn(List<MessageView> views, FrameLog log, BusInfo bus, SenderFindings findings) {
        TickStep tick = TickStep.of(log, bus);
        double ppm = LEAST_PPM_FLOOR;
        double nanos = Math.max(LEAST_NANOS_FLOOR, LEAST_TICK_SHARE * tick.tickNanos());
        List<double[]> ppmPairs = new ArrayList<>();
        List<double[]> nanosPairs = new ArrayList<>();
        for (ClockGroup group : findings.groups()) {
            List<Trait> traits = new ArrayList<>();
            for (MessageView view : views) {
                if (view.tracks.size() != 1 || view.tracks.get(0).group() != group.index()) continue;
                Trait trait = trait(log, view.framesOf(view.tracks.get(0)));
                if (trait != null) traits.add(trait);
            }
            for (int i = 0; i + 1 < traits.size(); i++) {
                ppmPairs.add(squares(traits.get(i).ppm, traits.get(i + 1).ppm));
                nanosPairs.add(squares(traits.get(i).nanos, traits.get(i + 1).nanos));
            }
        }
        return new WireMeans(tick, Math.max(ppm, floor(ppmPairs)), Math.max(nanos, floor(nanosPairs)));
    }

    /** Square of a difference, and the square of its standard error. */
    private static double[] squares(Mean a, Mean b) {
        return new double[] {(a.value - b.value) * (a.value - b.value), a.error * a.error + b.error * b.error};
    }

    /**
     * What must be added to each mean's error so that the pairs scatter as they do; by medians, for a
     * group may err.
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
        Trait first = trait(view.log, view.framesOf(a));
        Trait second = trait(view.log, view.framesOf(b));
        if (first == null || second == null) return null;
        double ppm = deviation(first.ppm, second.ppm, ppmFloor);
        double nanos = deviation(first.nanos, second.nanos, nanosFloor);
        double z = Math.hypot(ppm, nanos);
        int frames = first.ppm.frames + second.ppm.frames;
        double from = Math.min(a.fromSeconds(), b.fromSeconds());
        double until = Math.max(a.untilSeconds(), b.untilSeconds());
        String figures = Say.text("bit length %s against %s; dominant bits %+.1f +/- %.1f ns against %+.1f +/- %.1f ns;"
                        + " messages of one node differ by up to %.1f ppm and %.1f ns here",
                Say.ppm(first.ppm.value, first.ppm.error), Say.ppm(second.ppm.value, second.ppm.error),
                first.nanos.value, first.nanos.error, second.nanos.value, second.nanos.error, ppmFloor, nanosFloor);
        double bits = second.ppm.value - first.ppm.value;
        double bitsError = combined(first.ppm, second.ppm, ppmFloor);
        boolean asDrift = z > 3 && follows(timing, bits, bitsError);
        if (z > 4 || asDrift) {
            boolean proves = new WireProof(view, tick, ppmFloor).proves(a, b);
            double strength = Math.min(Strength.MOST, Strength.ofDeviation(z) + (asDrift ? AS_DRIFT : 0));
            return new Evidence(Kind.WIRE, "The two schedules differ on the wire: " + figures + Say.text(
                    " (%.0f standard errors%s).", z, asDrift ? "; the bits differ by what the schedules drift" : ""),
                    strength, from, until, frames, proves);
        }
        boolean fine = Math.hypot(first.ppm.error, second.ppm.error) <= FINE_PPM
                && Math.hypot(first.nanos.error, second.nanos.error) <= FINE_NANOS;
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
        Trait first = trait(view.log, view.framesOf(a));
        Trait second = trait(view.log, view.framesOf(b));
        if (first == null || second == null || Double.isNaN(driftPpm)) return false;
        double apart = Math.abs(first.ppm.value - second.ppm.value);
        double error = combined(first.ppm, second.ppm, ppmFloor);
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

    /** Whose transmitter a third train of the message has: -1 the first's, 1 the second's, 0 where the wire does not say. */
    int like(MessageView view, Track third, Track a, Track b) {
        Trait mine = trait(view.log, view.framesOf(third));
        Trait first = trait(view.log, view.framesOf(a));
        Trait second = trait(view.log, view.framesOf(b));
        if (mine == null || first == null || second == null) return 0;
        double toFirst = apart(mine, first);
        double toSecond = apart(mine, second);
        if (toFirst < LIKE && toSecond > UNLIKE) return -1;
        return toSecond < LIKE && toFirst > UNLIKE ? 1 : 0;
    }

    private double apart(Trait a, Trait b) {
        return Math.hypot(deviation(a.ppm, b.ppm, ppmFloor), deviation(a.nanos, b.nanos, nanosFloor));
    }

    private static double combined(Mean a, Mean b, double floor) {
        return Math.sqrt(a.error * a.error + b.error * b.error + 2 * floor * floor);
    }

    static double deviation(Mean a, Mean b, double floor) {
        return Math.abs(a.value - b.value) / combined(a, b, floor);
    }

    static Trait trait(FrameLog log, int[] frames) {
        Mean ppm = mean(log, frames, true);
        Mean nanos = mean(log, frames, false);
        return ppm == null || nanos == null ? null : new Trait(ppm, nanos);
    }

    /** Weighted mean; its error from the scatter, never less than the frames' own errors give. */
    static Mean mean(FrameLog log, int[] frames, boolean ppm) {
        double weight = 0;
        double sum = 0;
        int n = 0;
        for (int frame : frames) {
            double error = ppm ? log.bitPpmError(frame) : log.asymmetryErrorNanos(frame);
            double value = ppm ? log.bitPpm(frame) : log.asymmetryNanos(frame);
            if (!(error > 0) || Double.isNaN(value)) continue;
            weight += 1 / (error * error);
            sum += value / (error * error);
            n++;
        }
        if (n < FEWEST_FRAMES) return null;
        double mean = sum / weight;
        double scatter = 0;
        for (int frame : frames) {
            double error = ppm ? log.bitPpmError(frame) : log.asymmetryErrorNanos(frame);
            double value = ppm ? log.bitPpm(frame) : log.asymmetryNanos(frame);
            if (!(error > 0) || Double.isNaN(value)) continue;
            scatter += (value - mean) * (value - mean) / (error * error);
        }
        double stretch = Math.max(1, Math.sqrt(scatter / (n - 1)));
        return new Mean(mean, stretch / Math.sqrt(weight), n);
    }
}
