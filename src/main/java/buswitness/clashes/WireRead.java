package buswitness.clashes;

import buswitness.frames.BitString;
import buswitness.frames.MessageKey;
import java.util.Arrays;

/**
 * What a damaged stretch of wire says once stuff bits are left out, up to the first run of six equal bits. The first
 * bits
 * of an error flag may hide in that run, so where the flag began is for the comparison with a meant frame to say.
 */
final class WireRead {
    private static final int STUFF_RUN = 5;

    private final BitString wire;
    private final BitString bits = new BitString();
    private int[] wireIndex = new int[160];

    /** @param wire every bit from start of frame, stuff bits and flags included */
    WireRead(BitString wire) {
        this.wire = wire;
        int run = 0;
        int last = -1;
        for (int i = 0; i < wire.size(); i++) {
            int bit = wire.get(i);
            boolean stuff = run == STUFF_RUN;
            if (stuff && bit == last) return;
            run = bit == last ? run + 1 : 1;
            last = bit;
            if (stuff) continue;
            if (bits.size() == wireIndex.length) wireIndex = Arrays.copyOf(wireIndex, wireIndex.length * 2);
            wireIndex[bits.size()] = i;
            bits.add(bit);
        }
    }

    /** Stuff bits left out, to the last bit before a sixth equal one. */
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
        for (int i = 0; i < until; i++) if (bits.get(i) != meant.get(i)) return i;
        return -1;
    }

    /** Dominant bits on the wire right after bit {@code at}, without a break. */
    int dominantAfter(int at) {
        int count = 0;
        for (int i = wireIndex[at] + 1; i < wire.size() && wire.get(i) == 0; i++) count++;
        return count;
    }
}
