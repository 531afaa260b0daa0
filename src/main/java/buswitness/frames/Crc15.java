package buswitness.frames;

/**
 * CRC-15/CAN of up to 128 bits, a byte at a time (D. V. Sarwate, Communications of the ACM 31, 1988). Separate from
 * {@link CanFrameBits}, so that the two can check each other.
 */
final class Crc15 {
    /** x15+x14+x10+x8+x7+x4+x3+1 without its top term (Bosch CAN FD 1.0, 2012, p. 13). */
    private static final int POLYNOMIAL = 0x4599;
    private static final short[] TABLE = table();

    private Crc15() {}

    private static short[] table() {
        short[] table = new short[256];
        for (int value = 0; value < 256; value++) {
            int register = value << 7;
            for (int bit = 0; bit < 8; bit++) {
                register = (register & 0x4000) == 0 ? register << 1 : register << 1 ^ POLYNOMIAL;
            }
            table[value] = (short) (register & 0x7FFF);
        }
        return table;
    }

    /**
     * Remainder of the 128-bit number {@code high:low}. The register starts at 0, so leading zeros change nothing and
     * a shorter row of bits may stand at the low end. A row with its own check sequence at its end leaves 0.
     */
    static int of(long high, long low) {
        int register = 0;
        for (int shift = 56; shift >= 0; shift -= 8) register = next(register, (int) (high >>> shift));
        for (int shift = 56; shift >= 0; shift -= 8) register = next(register, (int) (low >>> shift));
        return register;
    }

    private static int next(int register, int value) {
        return (register << 8 ^ TABLE[(register >>> 7 ^ value) & 0xFF]) & 0x7FFF;
    }
}
