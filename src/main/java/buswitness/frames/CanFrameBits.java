package buswitness.frames;

/**
 * The bits a classical CAN transmitter puts on the wire (ISO 11898-1; Bosch CAN FD 1.0, 2012, clauses 3.2.1 and 5 hold
 * the classical rules). Used to rebuild what a sender meant and by the simulator; the decoder does not use it, so that
 * the two can check each other.
 */
public final class CanFrameBits {
    /** x15+x14+x10+x8+x7+x4+x3+1 without its top term (Bosch 2012, p. 13). */
    private static final int CRC15_POLYNOMIAL = 0x4599;

    private CanFrameBits() {}

    /**
     * Start of frame to the last check bit, without stuff bits.
     *
     * @param identifier 0..0x7FF, or 0..0x1FFFFFFF when extended
     * @param remote     a remote frame carries no data whatever its length code
     * @param lengthCode 0 to 15; 9 to 15 mean 8 bytes
     * @param data       at least as many bytes as the length code says; ignored when remote
     */
    public static BitString unstuffed(int identifier, boolean extended, boolean remote, int lengthCode, byte[] data) {
        BitString bits = new BitString();
        bits.add(0);
        if (extended) {
            bits.addBits(identifier >>> 18, 11);
            bits.addBits(0b11, 2);
            bits.addBits(identifier & 0x3FFFF, 18);
            bits.add(remote ? 1 : 0);
            bits.addBits(0, 2);
        } else {
            bits.addBits(identifier, 11);
            bits.add(remote ? 1 : 0);
            bits.addBits(0, 2);
        }
        bits.addBits(lengthCode, 4);
        int bytes = remote ? 0 : Math.min(lengthCode, 8);
        for (int i = 0; i < bytes; i++) bits.addBits(data[i] & 0xFF, 8);
        bits.addBits(crc15(bits), 15);
        return bits;
    }

    /** CRC-15/CAN over the given bits: register 0, most significant first, no reflection, no final XOR. */
    public static int crc15(BitString bits) {
        int register = 0;
        for (int i = 0; i < bits.size(); i++) {
            int next = bits.get(i) ^ register >>> 14;
            register = register << 1 & 0x7FFF;
            if (next != 0) register ^= CRC15_POLYNOMIAL;
        }
        return register;
    }

    /** Inserts a complement after five equal bits; a stuff bit starts the next run and may follow the last bit. */
    public static BitString stuffed(BitString bits) {
        BitString out = new BitString();
        int run = 0;
        int last = -1;
        for (int i = 0; i < bits.size(); i++) {
            int bit = bits.get(i);
            out.add(bit);
            run = bit == last ? run + 1 : 1;
            last = bit;
            if (run == 5) {
                last = 1 - bit;
                out.add(last);
                run = 1;
            }
        }
        return out;
    }

    /** Bits from start of frame to the last bit that may be lost in arbitration (RTR), stuff bits left out. */
    public static int arbitrationBits(boolean extended) {
        return extended ? 33 : 13;
    }
}
