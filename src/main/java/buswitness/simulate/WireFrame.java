package buswitness.simulate;

import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import java.util.Arrays;

/** The bits one node means to send, start of frame to end of frame. Immutable by convention. */
final class WireFrame {
    /** Check delimiter, acknowledge slot and delimiter, seven bits of end of frame: all recessive as sent. */
    static final int TAIL_BITS = 10;
    final long key;
    final boolean remote;
    final boolean extended;
    final byte[] data;
    /** One bit a byte, stuff bits included. */
    final byte[] bits;
    /** Bits up to the check delimiter. */
    final int stuffedSize;
    /** Indices at which the level changes, from the start of frame (0) to the check delimiter at the latest. */
    final short[] changes;
    /** The arbitration field as a number: the lower one wins. Equal only where the whole field is equal. */
    final long priority;

    private WireFrame(Sending sending, byte[] data) {
        key = sending.key();
        remote = sending.remote();
        extended = sending.extended();
        this.data = data;
        BitString plain = CanFrameBits.unstuffed(sending.identifier(), extended, remote, sending.length(), data);
        BitString stuffed = CanFrameBits.stuffed(plain);
        stuffedSize = stuffed.size();
        bits = new byte[stuffedSize + TAIL_BITS];
        short[] found = new short[stuffedSize + 1];
        int count = 0;
        int last = 1;
        for (int i = 0; i <= stuffedSize; i++) {
            int bit = i < stuffedSize ? stuffed.get(i) : 1;
            bits[i] = (byte) bit;
            if (bit != last) found[count++] = (short) i;
            last = bit;
        }
        Arrays.fill(bits, stuffedSize, bits.length, (byte) 1);
        changes = Arrays.copyOf(found, count);
        priority = extended
                ? (long) (sending.identifier() >>> 18) << 21 | 3L << 19 | (sending.identifier() & 0x3FFFFL) << 1
                        | (remote ? 1 : 0)
                : (long) sending.identifier() << 21 | (remote ? 1L << 20 : 0);
    }

    static WireFrame of(Sending sending, byte[] data) {
        return new WireFrame(sending, data);
    }

    int size() {
        return bits.length;
    }

    /** Index of the first bit at which the two part; the shorter size where one is the start of the other. */
    int partsFrom(WireFrame other) {
        int end = Math.min(bits.length, other.bits.length);
        int i = Arrays.mismatch(bits, other.bits);
        return i < 0 ? end : i;
    }
}
