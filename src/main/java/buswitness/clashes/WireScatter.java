package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.TickStep;
import buswitness.senders.Track;
import buswitness.senders.WireMean.Trait;
import buswitness.stats.Robust;

/**
 * Whether neighbouring frames of a message that shows no schedule differ on the wire by more than one transmitter's
 * would. Where a bus is nearly full, who waits sends when the line is free, so that starts say nothing about who sent;
 * the bits still do. A clock that wanders moves neighbours together, so it does not show here; a second transmitter
 * that takes turns does. It proves nothing, since a line that rings and few edges in a frame may do as much, but it
 * takes away the ground on which one sender could be said.
 */
final class WireScatter {
    /**
     * Mean square of the differences in units of what one transmitter's would be. Measured on random buses with one
     * sender a message (analysis-notes, slow buses).
     */
    private static final double WIDE = 1.6;
    /** So wide that even one schedule does not speak for one sender: two that wait for each other may share one. */
    private static final double VERY_WIDE = 5;
    /** In ticks: an asymmetry known no better saw few places of the tick. */
    private static final double FEW_PLACES = 0.4;
    /** The bus is so full that at least this share of the starts was not free. */
    private static final double MOSTLY = 0.5;
    /** Rests as short as these are what senders that waited leave. */
    private static final double SHORTEST = 0.05;
    private static final double SOON = 1.2;
    /** One pair of frames, damaged unseen perhaps, is not to speak for all. */
    private static final double MOST = 36;
    private static final int FEWEST = 8;
    /** One schedule accounts for the frames. */
    private static final double SCHEDULED = 0.9;
    /** Frames that follow each other so closely are timed by the line, whatever period they seem to have. */
    private static final double BACK_TO_BACK = 1.3;

    private WireScatter() {}

    /**
     * Null where one sender may be said. Only of buses on which a start together breaks no frame: elsewhere a second
     * sender of a full bus shows by the damage.
     */
    static Evidence of(MessageView view, WireMeans wire) {
        if (wire == null || view.meant.isAsked() || view.meant.breaksFrames()) return null;
        double bits = meanSquare(view, wire.tick, Trait.BIT_PPM);
        double edges = meanSquare(view, wire.tick, Trait.ASYMMETRY_NANOS);
        boolean scheduled = scheduled(view);
        if (Math.max(bits, edges) <= (scheduled ? VERY_WIDE : WIDE) || waiting(view) < MOSTLY) return null;
        String seen = scheduled ? "All frames keep one schedule, but most of them waited, and"
                : "The bus is so full that most of the frames waited and keep no schedule, and";
        String says = Say.text("%s neighbouring ones differ in %s by %.1f times what rounding to the tick explains: two"
                + " transmitters that take turns would, and so may a line that rings.", seen,
                bits >= edges ? "bit length" : "asymmetry", Math.sqrt(Math.max(bits, edges)));
        return new Evidence(Evidence.Kind.WIRE, says, 0, view.firstSeconds(), view.lastSeconds(), view.wholeCount,
                false);
    }

    /** Share of the message's frames that began about as soon after the frame before as any on this bus do. */
    private static double waiting(MessageView view) {
        FrameLog log = view.log;
        double[] rests = new double[Math.max(1, log.size() - 1)];
        for (int i = 1; i < log.size(); i++) rests[i - 1] = log.startPicos(i) - log.endPicos(i - 1);
        double soon = SOON * Robust.quantile(rests, SHORTEST);
        int waited = 0;
        for (int k = 0; k < view.wholeCount; k++) {
            if (view.whole[k] > 0 && log.startPicos(view.whole[k]) - log.endPicos(view.whole[k] - 1) < soon) waited++;
        }
        return (double) waited / view.wholeCount;
    }

    private static boolean scheduled(MessageView view) {
        int most = view.tracks.stream().filter(Track::cyclic).mapToInt(Track::frames).max().orElse(0);
        return most >= SCHEDULED * view.wholeCount && view.regularity.regular() && !backToBack(view);
    }

    private static boolean backToBack(MessageView view) {
        double[] rests = new double[view.wholeCount];
        double[] lasts = new double[view.wholeCount];
        FrameLog log = view.log;
        for (int k = 0; k < view.wholeCount; k++) {
            int frame = view.whole[k];
            lasts[k] = (log.endPicos(frame) - log.startPicos(frame)) * 1e-12;
            rests[k] = frame == 0 ? 0 : (log.startPicos(frame) - log.endPicos(frame - 1)) * 1e-12;
        }
        return view.regularity.gapSeconds() < BACK_TO_BACK * (Robust.median(lasts) + Robust.median(rests));
    }

    private static double meanSquare(MessageView view, TickStep tick, Trait trait) {
        FrameLog log = view.log;
        double sum = 0;
        int n = 0;
        for (int k = 0; k + 1 < view.wholeCount; k++) {
            double unit = Math.hypot(unit(log, view.whole[k], tick, trait), unit(log, view.whole[k + 1], tick, trait));
            if (!(unit > 0)) continue;
            double apart = (value(log, view.whole[k + 1], trait) - value(log, view.whole[k], trait)) / unit;
            sum += Math.min(MOST, apart * apart);
            n++;
        }
        return n < FEWEST ? 0 : sum / n;
    }

    private static double value(FrameLog log, int frame, Trait trait) {
        return trait == Trait.BIT_PPM ? log.bitPpm(frame) : log.asymmetryNanos(frame);
    }

    /** A frame's error; where its edges saw few places of the tick, no less than a coin's between two of them. */
    private static double unit(FrameLog log, int frame, TickStep tick, Trait trait) {
        boolean fewPlaces = log.asymmetryErrorNanos(frame) >= FEW_PLACES * tick.tickNanos();
        if (trait == Trait.ASYMMETRY_NANOS) {
            double error = log.asymmetryErrorNanos(frame);
            return fewPlaces ? Math.max(error, tick.tickNanos()) : error;
        }
        double error = log.bitPpmError(frame);
        return fewPlaces ? Math.max(error, tick.roundingPpm(true, tick.bits(log, frame)) / 2) : error;
    }
}
