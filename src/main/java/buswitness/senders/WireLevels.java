package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.stats.Robust;

/**
 * Two transmitters seen where the tick is in step with the bits and too coarse for heaps. All edges of one kind of a
 * frame are rounded alike there, so a sender's shift takes one of two neighbouring whole ticks, and its asymmetry one
 * of two neighbouring multiples of two ticks, or lies between them where the place turns through the tick within the
 * frame: whatever the start's place in the tick. Frames on either side of one such multiple, taking turns, had two
 * transmitters. Ringing moves edges by whole ticks too: on a line that rings nothing is said. Of 20,230 messages with
 * one sender, in step and not ringing (calibration run 41), none had two frames on either side in turns; 118 of 353
 * with two senders had.
 */
public final class WireLevels {
    /** A frame so many steps from the multiple is beside it: edges that lie unevenly move a fit by some 0.2. */
    private static final double BESIDE = 0.3;
    /** Places that turn through less of the tick than this within a frame are rounded alike. */
    private static final double TURNS = 0.7;
    private static final int FEWEST = 4;
    private static final double FEWEST_SHARE = 0.01;
    private static final int FEWEST_TURNS = 6;
    /** Filtered runs a frame beyond which the line rings. */
    private static final double RINGS = 0.05;
    /**
     * Off: pulses shorter than the tick ring unseen and move edges by whole ticks (calibration bus 44000366, one node that
     * rings, three of its messages accused). On again once such a node is told by its other messages.
     */
    public static final boolean TRUSTED = false;
    /** Multiples looked at on either side of the median. */
    private static final int MOST = 4;

    private WireLevels() {}

    /** Whether the line rings, or is disturbed so often that edges are moved in many frames. */
    public static boolean rings(FrameLog log) {
        long glitches = 0;
        long frames = 0;
        for (int f = 0; f < log.size(); f++) {
            if (!log.isWhole(f)) continue;
            glitches += log.glitches(f);
            frames++;
        }
        return glitches > RINGS * frames;
    }

    /**
     * For each of a message's frames -1 where it is below the multiple that most frames lie about, 1 above, else 0.
     *
     * @param frames log indexes in time order
     * @param rings  {@link #rings}
     * @return null where the tick is not in step, or the frames do not lie on either side of a multiple
     */
    public static byte[] of(FrameLog log, int[] frames, TickStep tick, boolean rings) {
        int[] timed = WireMean.timed(log, frames);
        if (rings || timed.length < 2 * FEWEST || !(tick.tickNanos() > 0)) return null;
        double ppm = Robust.median(WireMean.values(log, timed, WireMean.Trait.BIT_PPM));
        if (!(tick.turns(ppm, WireMean.bits(log, timed, tick)) < TURNS)) return null;
        byte[] best = null;
        int most = 0;
        int fewest = (int) Math.max(FEWEST, Math.ceil(FEWEST_SHARE * timed.length));
        int middle = (int) Math.rint(Robust.median(WireMean.values(log, timed, WireMean.Trait.ASYMMETRY_NANOS))
                / (2 * tick.tickNanos()));
        for (int multiple = middle - MOST; multiple <= middle + MOST; multiple++) {
            byte[] outer = outer(log, frames, multiple, 2 * tick.tickNanos());
            int n = fewer(outer);
            if (n >= fewest && n > most && turns(outer) >= FEWEST_TURNS) {
                best = outer;
                most = n;
            }
        }
        return best;
    }

    private static byte[] outer(FrameLog log, int[] frames, int multiple, double step) {
        byte[] outer = new byte[frames.length];
        for (int i = 0; i < frames.length; i++) {
            double at = log.asymmetryNanos(frames[i]) / step - multiple;
            if (log.glitches(frames[i]) > 0 || !(log.asymmetryErrorNanos(frames[i]) > 0)) continue;
            if (at < -BESIDE) outer[i] = -1;
            else if (at > BESIDE) outer[i] = 1;
        }
        return outer;
    }

    private static int fewer(byte[] outer) {
        int low = 0;
        int high = 0;
        for (byte b : outer) {
            if (b < 0) low++;
            else if (b > 0) high++;
        }
        return Math.min(low, high);
    }

    private static int turns(byte[] outer) {
        int turns = 0;
        int last = 0;
        for (byte b : outer) {
            if (b == 0) continue;
            if (last != 0 && b != last) turns++;
            last = b;
        }
        return turns;
    }
}
