package buswitness.clashes;

import buswitness.frames.BitString;
import buswitness.frames.FdFrameBits;
import buswitness.frames.MessageKey;
import java.util.Arrays;

/**
 * What a damaged stretch of wire says once stuff bits are left out, up to the first run of too many equal bits or, behind the
 * payload of a CAN FD frame, the first fixed stuff bit that is none. The first bits of an error flag may hide in that run,
 * so where the flag began is for the comparison with a meant frame to say.
 */
final class WireRead {
    static final int CAN_STUFF_RUN = 5;
    /** A fixed stuff bit and four bits behind it. */
    private static final int FIXED_GROUP = 5;

    private final BitString wire;
    private final boolean flexible;
    private final BitString bits = new BitString();
    private int[] wireIndex = new int[160];
    /** Index on the wire of the bit by which the reading ended; the wire's size where it did not. */
    private int stopped;
    /** Index among {@link #bits} of the bit at which the rate goes up, or beyond all. */
    private int switchBit = Integer.MAX_VALUE;

    /**
     * @param wire     every bit from start of frame, stuff bits and flags included
     * @param flexible on a bus of CAN FD
     */
    WireRead(BitString wire, boolean flexible) {
        this(wire, flexible, CAN_STUFF_RUN);
    }

    /** @param stuffRun equal bits behind which a stuff bit stands */
    WireRead(BitString wire, boolean flexible, int stuffRun) {
        this.wire = wire;
        this.flexible = flexible;
        stopped = wire.size();
        int run = 0;
        int last = -1;
        int payloadEnd = Integer.MAX_VALUE;
        int fixed = 0;
        for (int i = 0; i < wire.size(); i++) {
            int bit = wire.get(i);
            boolean behind = bits.size() >= payloadEnd;
            boolean stuff = behind ? fixed++ % FIXED_GROUP == 0 : run == stuffRun;
            if (stuff && bit == last) {
                stopped = i;
                return;
            }
            run = bit == last ? run + 1 : 1;
            last = bit;
            if (stuff) continue;
            if (bits.size() == wireIndex.length) wireIndex = Arrays.copyOf(wireIndex, wireIndex.length * 2);
            wireIndex[bits.size()] = i;
            bits.add(bit);
            if (flexible && payloadEnd == Integer.MAX_VALUE) payloadEnd = payloadEnd();
        }
    }

    /** Where the payload of a CAN FD frame ends, once its length has been read. */
    private int payloadEnd() {
        int kind = kindBit(bits);
        if (bits.size() <= kind || bits.get(kind) == 0) return Integer.MAX_VALUE;
        if (bits.size() == kind + 3 && bits.get(kind + 2) == 1) switchBit = kind + 2;
        int header = kind + 8;
        return bits.size() < header ? Integer.MAX_VALUE
                : header + 8 * FdFrameBits.bytes((int) bits.number(header - 4, 4));
    }

    /** Index of the bit that tells CAN FD from classical, stuff bits left out. */
    private static int kindBit(BitString bits) {
        return bits.size() > 13 && bits.get(13) == 1 ? 33 : 14;
    }

    /** Index of the bit by which a CAN FD sender says how its counters stand; -1 in a classical frame. */
    static int stateBit(BitString meant) {
        int kind = kindBit(meant);
        return meant.size() > kind && meant.get(kind) == 1 ? kind + 3 : -1;
    }

    /** Stuff bits left out, to the last bit before the one that ended the reading. */
    BitString bits() {
        return bits;
    }

    /** The message, as far as an identifier can be read. */
    long key() {
        if (bits.size() < 14 || bits.get(0) != 0) return MessageKey.UNKNOWN;
        if (bits.get(13) == 0) return MessageKey.can((int) bits.number(1, 11), false);
        if (bits.size() < 33) return MessageKey.UNKNOWN;
        return MessageKey.can((int) (bits.number(1, 11) << 18 | bits.number(14, 18)), true);
    }

    /** First bit that is not what {@code meant} says, or -1 where all that was read agrees. */
    int firstDifference(BitString meant) {
        int until = Math.min(bits.size(), meant.size());
        int skipped = flexible ? stateBit(meant) : -1;
        for (int i = 0; i < until; i++) if (i != skipped && bits.get(i) != meant.get(i)) return i;
        return -1;
    }

    /** Dominant bits on the wire right after bit {@code at}, without a break. */
    int dominantAfter(int at) {
        int count = 0;
        for (int i = wireIndex[at] + 1; i < wire.size() && wire.get(i) == 0; i++) count++;
        return count;
    }

    /** Whether bit {@code at} goes at the data rate. */
    boolean isFast(int at) {
        return at > switchBit;
    }

    /**
     * The error flag behind bit {@code at} of a payload at the data rate, in nominal bits: the dominant run in which the
     * reading ended, from behind {@code at} at the earliest. Up to its end the wire was sampled at the data rate, from there
     * on at the nominal one.
     *
     * @param ratio data rate over nominal rate
     */
    double flagBits(int at, double ratio) {
        if (stopped == wire.size() || wire.get(stopped) != 0) return 0;
        int from = stopped;
        while (from - 1 > wireIndex[at] && wire.get(from - 1) == 0) from--;
        int until = stopped + 1;
        while (until < wire.size() && wire.get(until) == 0) until++;
        return (stopped + 1 - from) / ratio + until - stopped - 1;
    }

    /** Bits read between {@code at} and the dominant run in which the reading ended. */
    int bitsBeforeFlag(int at) {
        int from = stopped;
        while (from - 1 > wireIndex[at] && wire.get(from - 1) == 0) from--;
        int count = 0;
        while (at + 1 + count < bits.size() && wireIndex[at + 1 + count] < from) count++;
        return count;
    }
}
