package buswitness.predict;

import buswitness.frames.FdFrameBits;

/**
 * How long a data frame of CAN or CAN FD can be.
 *
 * <p>Classical: R. I. Davis, A. Burns, R. J. Bril and J. J. Lukkien, "Controller Area Network (CAN) schedulability
 * analysis: Refuted, revisited and revised", Real-Time Systems 35 (2007) 239-272, equation 1. Of a frame with s bytes
 * g + 8 s bits can be stuffed (g = 34 with an 11-bit, 54 with a 29-bit identifier: start of frame to the last check
 * bit); at worst one stuff bit follows the first five of them and one each further four, since a stuff bit begins the
 * next run; 13 bits more cannot be stuffed: check delimiter, acknowledge slot and delimiter, end of frame and the three
 * bits of intermission.
 *
 * <p>CAN FD, worked out here from the frame of ISO 11898-1:2015, no published table at hand: to BRS 17 (11-bit) or 36 bits
 * (29-bit identifier) at the nominal rate, then ESI, length and payload at the data rate, stuffed as above but for the last
 * place; stuff count and check with their fixed stuff bits, 27 bits up to 16 bytes of payload and 32 beyond; the same 13
 * bits. The bit in which the rate changes counts as one of the slower rate at most and of the faster one at least. (U.
 * Bordoloi and S. Samii, The frame packing problem for CAN-FD, RTSS 2014, have for the earlier frame, from memory,
 * 32 nominal and 28 + 5 ceil((s - 16) / 64) + 10 s data bits with 11-bit identifiers.)
 */
final class CanLength {
    private static final int BASE_STUFFABLE = 34;
    private static final int EXTENDED_STUFFABLE = 54;
    private static final int REST = 13;

    private static final int MOST_CLASSICAL_BYTES = 8;
    private static final int BASE_TO_SWITCH = 17;
    private static final int EXTENDED_TO_SWITCH = 36;
    private static final int SWITCH_TO_PAYLOAD = 5;

    private CanLength() {}

    /** Bits from start of frame to the end of intermission with as many stuff bits as there can be. */
    static int most(boolean extended, int bytes) {
        int stuffable = (extended ? EXTENDED_STUFFABLE : BASE_STUFFABLE) + 8 * bytes;
        return stuffable + REST + (stuffable - 1) / 4;
    }

    /** The same without any stuff bit. */
    static int least(boolean extended, int bytes) {
        return (extended ? EXTENDED_STUFFABLE : BASE_STUFFABLE) + 8 * bytes + REST;
    }

    /** The longest such frame of a bus, seconds; on CAN FD the longer of the two kinds that the payload fits. */
    static double mostSeconds(SharedBus bus, boolean extended, int bytes) {
        double bit = 1 / bus.bitsPerSecond();
        if (!bus.isFlexible()) return most(extended, bytes) * bit;
        double flexible = mostFlexible(extended, bytes, bit, 1 / bus.dataBitsPerSecond());
        return bytes <= MOST_CLASSICAL_BYTES ? Math.max(flexible, most(extended, bytes) * bit) : flexible;
    }

    /** The shortest, likewise. */
    static double leastSeconds(SharedBus bus, boolean extended, int bytes) {
        double bit = 1 / bus.bitsPerSecond();
        if (!bus.isFlexible()) return least(extended, bytes) * bit;
        double flexible = leastFlexible(extended, bytes, bit, 1 / bus.dataBitsPerSecond());
        return bytes <= MOST_CLASSICAL_BYTES ? Math.min(flexible, least(extended, bytes) * bit) : flexible;
    }

    /**
     * A CAN FD frame from start of frame to the end of intermission, with as many stuff bits as there can be.
     *
     * @param bit     length of a nominal bit
     * @param dataBit length of a bit of the data rate
     */
    static double mostFlexible(boolean extended, int bytes, double bit, double dataBit) {
        int nominal = extended ? EXTENDED_TO_SWITCH : BASE_TO_SWITCH;
        int payload = 8 * FdFrameBits.roomFor(bytes);
        int stuffBits = (nominal + SWITCH_TO_PAYLOAD + payload - 1) / 4;
        int early = (nominal - 1) / 4;
        return (nominal + early + REST) * bit + (SWITCH_TO_PAYLOAD + payload + stuffBits - early + check(payload)) * dataBit;
    }

    /** The same without any dynamic stuff bit. */
    static double leastFlexible(boolean extended, int bytes, double bit, double dataBit) {
        int nominal = extended ? EXTENDED_TO_SWITCH : BASE_TO_SWITCH;
        int payload = 8 * FdFrameBits.roomFor(bytes);
        return (nominal + REST - 2) * bit + (2 + SWITCH_TO_PAYLOAD + payload + check(payload)) * dataBit;
    }

    private static int check(int payloadBits) {
        return payloadBits <= 128 ? 27 : 32;
    }
}
