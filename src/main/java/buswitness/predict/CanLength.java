package buswitness.predict;

/**
 * How long a classical CAN data frame can be.
 *
 * <p>Source: R. I. Davis, A. Burns, R. J. Bril and J. J. Lukkien, "Controller Area Network (CAN) schedulability
 * analysis: Refuted, revisited and revised", Real-Time Systems 35 (2007) 239-272, equation 1. Of a frame with s bytes
 * g + 8 s bits can be stuffed (g = 34 with an 11-bit, 54 with a 29-bit identifier: start of frame to the last check
 * bit); at worst one stuff bit follows the first five of them and one each further four, since a stuff bit begins the
 * next run; 13 bits more cannot be stuffed: check delimiter, acknowledge slot and delimiter, end of frame and the three
 * bits of intermission.
 */
final class CanLength {
    private static final int BASE_STUFFABLE = 34;
    private static final int EXTENDED_STUFFABLE = 54;
    private static final int REST = 13;

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
}
