package buswitness.clashes;

import buswitness.frames.BitString;
import java.util.List;

/**
 * Damaged frames of one message, each tried again as soon as the bus allowed.
 *
 * @param frames     log indexes, in order
 * @param brokenAt   bit at which the first frame left what its sender (as the next whole frame shows it) meant; -1
 * unknown
 * @param match      the two meanings that explain the break, or null
 * @param retried    the same identifier started again right after the burst
 */
record Burst(List<Integer> frames, double fromSeconds, double untilSeconds, BitString onWire, int brokenAt,
             Match match, boolean retried) {
    Burst {
        frames = List.copyOf(frames);
    }

    /**
     * Two payloads seen nearby whose first difference is where the frames broke, dominant on the wire, with an error
     * flag from the next bit on.
     *
     * @param dominantFrame  whole frame whose sender had the dominant bit at the break
     * @param recessiveFrame whole frame whose sender had the recessive one
     * @param fits           damaged frames of the burst that show the whole pattern
     * @param strength       log10 odds against so fitting a break by chance
     * @param rarity         the part of it that comes from how seldom both trains are due together
     * @param due            whether both trains were due when the burst began
     * @param fast           the break lies in a payload at the data rate (CAN FD)
     */
    record Match(int breakBit, int dominantFrame, int recessiveFrame, int dominantTrack, int recessiveTrack, int fits,
                 double strength, double rarity, Due due, boolean fast) {
        /** Whether the two payloads came from these two trains. */
        boolean between(PairFinding pair) {
            int a = pair.a().index();
            int b = pair.b().index();
            return a == dominantTrack && b == recessiveTrack || a == recessiveTrack && b == dominantTrack;
        }
    }

    /** {@code UNKNOWN} where a train keeps no schedule or no earlier frame of it was seen. */
    enum Due { BOTH, NOT_BOTH, UNKNOWN }
}
