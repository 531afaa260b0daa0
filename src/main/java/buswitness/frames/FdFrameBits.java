package buswitness.frames;

/**
 * The bits a CAN FD transmitter puts on the wire (ISO 11898-1:2015; Bosch CAN FD 1.0, 2012, where the two agree). Used to
 * rebuild what a sender meant and by the simulator; the decoder does not use it, so that the two can check each other.
 *
 * @param plain      start of frame to the last check bit, stuff count included, without any stuff bits
 * @param wire       the same with dynamic and fixed stuff bits
 * @param switchAt   index in {@code wire} of the bit at whose sample point the rate changes, or -1
 * @param checkAt    index in {@code wire} of the first fixed stuff bit
 * @param plainCheck index in {@code plain} of the first bit of the stuff count
 */
public record FdFrameBits(BitString plain, BitString wire, int switchAt, int checkAt, int plainCheck) {
    private static final int[] BYTES = {0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64};
    private static final int STUFF_RUN = 5;
    /** x17+x16+x14+x13+x11+x6+x4+x3+x+1 without its top term (Bosch 2012, p. 13). */
    private static final int POLYNOMIAL_17 = 0x1685B;
    /** x21+x20+x13+x11+x7+x4+x3+1 without its top term (the same). */
    private static final int POLYNOMIAL_21 = 0x102899;
    private static final int MOST_BYTES_OF_17 = 16;
    private static final int STUFF_COUNT_BITS = 4;
    /** Fixed stuff bits stand before every fourth bit of stuff count and check. */
    private static final int FIXED_EVERY = 4;

    /**
     * A frame as it is sent.
     *
     * @param identifier   0..0x7FF, or 0..0x1FFFFFFF when extended
     * @param switchesRate the payload goes at the data rate
     * @param passive      the sender says that it is error passive
     * @param data         0 to 8, 12, 16, 20, 24, 32, 48 or 64 bytes
     */
    public static FdFrameBits of(int identifier, boolean extended, boolean switchesRate, boolean passive, byte[] data) {
        BitString body = body(identifier, extended, switchesRate, passive, data);
        int switchBit = (extended ? 33 : 14) + 2;
        BitString wire = new BitString();
        int switchAt = -1;
        int run = 0;
        int last = -1;
        int stuffBits = 0;
        for (int i = 0; i < body.size(); i++) {
            int bit = body.get(i);
            if (i == switchBit && switchesRate) switchAt = wire.size();
            wire.add(bit);
            run = bit == last ? run + 1 : 1;
            last = bit;
            // After the payload's last bit the first fixed stuff bit stands instead (ISO 11898-1:2015).
            if (run == STUFF_RUN && i < body.size() - 1) {
                last = 1 - bit;
                wire.add(last);
                run = 1;
                stuffBits++;
            }
        }
        int checkAt = wire.size();
        BitString field = checkField(wire, stuffBits, data.length);
        BitString plain = body;
        int plainCheck = body.size();
        for (int i = 0; i < field.size(); i++) {
            if (i % FIXED_EVERY == 0) wire.add(1 - wire.get(wire.size() - 1));
            wire.add(field.get(i));
            plain.add(field.get(i));
        }
        return new FdFrameBits(plain, wire, switchAt, checkAt, plainCheck);
    }

    private static BitString body(int identifier, boolean extended, boolean switchesRate, boolean passive, byte[] data) {
        BitString bits = new BitString();
        bits.add(0);
        if (extended) {
            bits.addBits(identifier >>> 18, 11);
            bits.addBits(0b11, 2);
            bits.addBits(identifier & 0x3FFFF, 18);
            bits.add(0);
        } else {
            bits.addBits(identifier, 11);
            bits.addBits(0, 2);
        }
        bits.addBits(0b10, 2);
        bits.add(switchesRate ? 1 : 0);
        bits.add(passive ? 1 : 0);
        bits.addBits(lengthCode(data.length), 4);
        for (byte each : data) bits.addBits(each & 0xFF, 8);
        return bits;
    }

    /** Stuff count and check; both see the dynamic stuff bits, the check the stuff count too. */
    private static BitString checkField(BitString stuffed, int stuffBits, int bytes) {
        int width = bytes <= MOST_BYTES_OF_17 ? 17 : 21;
        int polynomial = width == 17 ? POLYNOMIAL_17 : POLYNOMIAL_21;
        int count = stuffBits % 8;
        // Gray code, then a bit for even parity.
        int gray = count ^ count >>> 1;
        int counted = gray << 1 | Integer.bitCount(gray) & 1;
        BitString field = new BitString();
        field.addBits(counted, STUFF_COUNT_BITS);
        // ISO sets the register's top bit at the start (ISO 11898-1:2015, 10.4.2.6).
        int register = 1 << width - 1;
        for (int i = 0; i < stuffed.size() + STUFF_COUNT_BITS; i++) {
            int bit = i < stuffed.size() ? stuffed.get(i) : field.get(i - stuffed.size());
            int next = bit ^ register >>> width - 1 & 1;
            register = register << 1 & (1 << width) - 1;
            if (next != 0) register ^= polynomial;
        }
        field.addBits(register, width);
        return field;
    }

    /** Whether a payload of so many bytes exists. */
    public static boolean hasLength(int bytes) {
        for (int each : BYTES) if (each == bytes) return true;
        return false;
    }

    /** The smallest payload that holds so many bytes, 0 to 64. */
    public static int roomFor(int bytes) {
        for (int each : BYTES) if (each >= bytes) return each;
        throw new IllegalArgumentException("no CAN FD payload holds " + bytes + " bytes");
    }

    /** @throws IllegalArgumentException where no length code means so many bytes */
    public static int lengthCode(int bytes) {
        for (int i = 0; i < BYTES.length; i++) if (BYTES[i] == bytes) return i;
        throw new IllegalArgumentException("a CAN FD payload has 0 to 8, 12, 16, 20, 24, 32, 48 or 64 bytes: " + bytes);
    }

    /** Payload bytes of a length code, 0 to 15. */
    public static int bytes(int lengthCode) {
        return BYTES[lengthCode];
    }
}
