package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Timing.Relation;
import buswitness.clashes.WireMeans.Traits;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.Arrays;
import java.util.List;

/**
 * How fine a tick the wire evidence would need. The error of a frame's bit length is that of a straight line through
 * its edges, each known to tick / sqrt(12), and shrinks with the tick; the mean over a schedule shrinks with the square
 * root of its frames besides, down to the floor by which messages of one node differ. Two things are told apart where
 * they lie six standard errors apart: a single frame then falls on the wrong side of the middle once in 700, a schedule
 * never.
 */
final class WireReach {
    private static final double APART = 6;
    /** Deviation taken for granted where the schedules give none: ordinary crystals (common practice, no source). */
    private static final double USUAL_PPM = 20;
    /** Ticks are offered in these steps. */
    private static final double[] STEPS = {1, 2, 5};

    private final WireMeans wire;
    private final Track a;
    private final Track b;
    private final double framePpm;
    private final double frameNanos;
    private final Traits first;
    private final Traits second;

    private WireReach(WireMeans wire, MessageView view, Track a, Track b, Traits first, Traits second) {
        this.wire = wire;
        this.a = a;
        this.b = b;
        this.first = first;
        this.second = second;
        int[] frames = view.framesOf(a.frames() >= b.frames() ? a : b);
        framePpm = median(view.log, frames, true);
        frameNanos = median(view.log, frames, false);
    }

    /**
     * The evidence with what it would take to tell single frames; where the wire gave none, a statement of strength 0
     * that says why, and which tick would do. Null where too few frames show their bits.
     */
    static Evidence told(WireMeans wire, MessageView view, Track a, Track b, Timing.Result timing, Evidence evidence) {
        Traits first = wire.traits(view, a);
        Traits second = wire.traits(view, b);
        if (first == null || second == null || !(wire.tickNanos > 0)) return evidence;
        WireReach reach = new WireReach(wire, view, a, b, first, second);
        return evidence == null ? reach.silence(timing) : reach.completed(evidence);
    }

    /** A difference was seen, or none at a good look: does it show in single frames? */
    private Evidence completed(Evidence evidence) {
        if (evidence.strength() <= 0) return evidence;
        double apart = Math.hypot((first.ppm().value() - second.ppm().value()) / framePpm,
                (first.nanos().value() - second.nanos().value()) / frameNanos);
        double needed = round(wire.tickNanos * apart / APART);
        List<Figure> figures = List.of(new Figure("tick_s", wire.tickNanos * 1e-9),
                new Figure("frame_error_ppm", framePpm), new Figure("frame_error_ns", frameNanos),
                new Figure("tick_needed_for_frames_s", needed * 1e-9));
        String more = apart >= APART
                ? Say.text(" At this tick of %s single frames tell it, too.", tick(wire.tickNanos))
                : Say.text(" Only the means of many frames tell it at this tick of %s: a single frame is known to %s"
                        + " ppm"
                + " and %s ns. Frame by frame a tick of %s would do.", tick(wire.tickNanos), figure(framePpm),
                figure(frameNanos), tick(needed));
        return evidence.and(more, figures);
    }

    private Evidence silence(Timing.Result timing) {
        boolean drift = timing.relation() == Relation.DRIFTING && Math.abs(timing.driftPpm()) > 0;
        double apart = drift ? Math.abs(timing.driftPpm()) : USUAL_PPM;
        double means = Math.hypot(first.ppm().error(), second.ppm().error());
        double room = apart / APART * (apart / APART) - 2 * wire.ppmFloor * wire.ppmFloor;
        double forSchedules = room > 0 ? round(wire.tickNanos * Math.sqrt(room) / means) : Double.NaN;
        double forFrames = round(wire.tickNanos * apart / APART / framePpm);
        StringBuilder says = new StringBuilder(Say.text("At this tick of %s the wire does not say whether one node or"
                + " two"
                + " sent the schedules: a frame shows its bit length to %s ppm, the %d and %d frames together to %s"
                + " ppm (one"
                + " standard error), and ", tick(wire.tickNanos), figure(framePpm), first.ppm().frames(),
                second.ppm().frames(), figure(means)));
        says.append(drift ? Say.text("their schedules drift apart by %s ppm. ", figure(apart))
                : Say.text("their schedules show no difference of clocks (ordinary crystals lie some %s ppm apart). ",
                figure(apart)));
        if (Double.isNaN(forSchedules)) {
            says.append(Say.text("Messages of one node differ by up to %s ppm here, so no tick would show that in the"
                    + " bit"
                    + " lengths; only a difference in the shape of the edges would.", figure(wire.ppmFloor)));
        } else if (forSchedules >= wire.tickNanos) {
            says.append(Say.text("The tick is fine enough for the means, and yet they lie between alike and different;"
                    + " frame"
                    + " by frame a tick of %s would do.", tick(forFrames)));
        } else {
            says.append(Say.text("A tick of %s would do to compare the schedules, one of %s to tell single frames.",
                    tick(forSchedules), tick(forFrames)));
        }
        List<Figure> figures = List.of(new Figure("tick_s", wire.tickNanos * 1e-9),
                new Figure("frame_error_ppm", framePpm), new Figure("schedules_error_ppm", means),
                new Figure("clocks_apart_ppm", apart),
                new Figure("tick_needed_for_schedules_s", forSchedules * 1e-9),
                new Figure("tick_needed_for_frames_s", forFrames * 1e-9));
        int frames = first.ppm().frames() + second.ppm().frames();
        return new Evidence(Kind.WIRE, says.toString(), 0, Math.min(a.fromSeconds(), b.fromSeconds()),
                Math.max(a.untilSeconds(), b.untilSeconds()), frames, false, figures);
    }

    private static double median(FrameLog log, int[] frames, boolean ppm) {
        double[] errors = Arrays.stream(frames).mapToDouble(f -> ppm ? log.bitPpmError(f) : log.asymmetryErrorNanos(f))
                .filter(e -> e > 0).sorted().toArray();
        return errors.length == 0 ? Double.NaN : errors[errors.length / 2];
    }

    /** Down to 1, 2 or 5 times a power of ten; ns. */
    static double round(double nanos) {
        if (!(nanos > 0)) return Double.NaN;
        double power = Math.pow(10, Math.floor(Math.log10(nanos)));
        double best = power;
        for (double step : STEPS) if (step * power <= nanos * (1 + 1e-9)) best = step * power;
        return best;
    }

    private static String tick(double nanos) {
        if (nanos < 1) return figure(nanos * 1e3) + " ps";
        return nanos < 1000 ? figure(nanos) + " ns" : figure(nanos / 1e3) + " \u00B5s";
    }

    private static String figure(double value) {
        boolean whole = value >= 10 || value == Math.rint(value);
        return Say.text(whole ? "%.0f" : value >= 1 ? "%.1f" : "%.2f", value);
    }
}
