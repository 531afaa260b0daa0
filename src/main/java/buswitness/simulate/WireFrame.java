package buswitness.simulate;

import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FdFrameBits;
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
    /** CAN FD. */
    final boolean flexible;
    /** Bit at whose sample point the data rate begins, or {@link Integer#MAX_VALUE}; it ends at the check delimiter. */
    final int switchAt;
    private final Sending sending;
    private final boolean passive;
    /** The same frame as a sender in the other error state sends it, once somebody asked. */
    private WireFrame other;

    private WireFrame(Sending sending, byte[] data, boolean passive) {
        this.sending = sending;
        this.passive = passive;
        flexible = sending.kind().isFlexible();
        key = sending.key();
        remote = sending.remote();
        extended = sending.extended();
        this.data = data;
        BitString stuffed;
        if (flexible) {
            FdFrameBits made = FdFrameBits.of(sending.identifier(), extended, sending.kind().switchesRate(), passive,
                    data);
            stuffed = made.wire();
            switchAt = made.switchAt() < 0 ? Integer.MAX_VALUE : made.switchAt();
        } else {
            stuffed = CanFrameBits.stuffed(CanFrameBits.unstuffed(sending.identifier(), extended, remote,
                    sending.length(), data));
            switchAt = Integer.MAX_VALUE;
        }
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
        return new WireFrame(sending, data, false);
    }

    /** As a node sends it that is error passive or not: CAN FD tells (ISO 11898-1:2015, the bit ESI). */
    WireFrame saidBy(boolean isPassive) {
        if (!flexible || isPassive == passive) return this;
        if (other == null) {
            other = new WireFrame(sending, data, isPassive);
            other.other = this;
        }
        return other;
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
