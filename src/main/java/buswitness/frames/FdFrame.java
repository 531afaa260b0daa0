package buswitness.frames;

/**
 * Fields and checks of one frame on a CAN FD bus, classical or FD, as its bits come in (ISO 11898-1:2015; clauses of
 * Bosch CAN FD 1.0, 2012, where the two agree). Stuff bits enter here too, since the FD checks cover them.
 */
final class FdFrame {
    private static final int POLYNOMIAL_15 = 0x4599;
    private static final int POLYNOMIAL_17 = 0x1685B;
    private static final int POLYNOMIAL_21 = 0x102899;
    private static final int[] BYTES = {0, 1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 20, 24, 32, 48, 64};
    /** Stuff bits modulo 8 in Gray code with even parity behind it (ISO 11898-1:2015). */
    private static final int[] STUFF_COUNTS = {0b0000, 0b0011, 0b0110, 0b0101, 0b1100, 0b1111, 0b1010, 0b1001};
    private static final int STUFF_COUNT_BITS = 4;

    final FrameBits bits = new FrameBits();
    private int register15;
    private int register17;
    private int register21;
    private int stuffBits;
    private int header;
    private int dataEnd;
    private boolean stuffCountWrong;

    void clear() {
        bits.clear();
        register15 = 0;
        // ISO sets the top bit at the start; the older specification did not (ISO 11898-1:2015, 10.4.2.6).
        register17 = 1 << 16;
        register21 = 1 << 20;
        stuffBits = header = dataEnd = 0;
        stuffCountWrong = false;
    }

    /** A bit of a stuffed field, not a stuff bit. */
    void add(int bit) {
        bits.add(bit);
        register15 = next(register15, bit, 15, POLYNOMIAL_15);
        wide(bit);
        place();
    }

    /** A dynamic stuff bit. */
    void addStuff(int bit) {
        stuffBits++;
        wide(bit);
    }

    private void wide(int bit) {
        register17 = next(register17, bit, 17, POLYNOMIAL_17);
        register21 = next(register21, bit, 21, POLYNOMIAL_21);
    }

    private static int next(int register, int bit, int width, int polynomial) {
        int out = bit ^ register >>> width - 1 & 1;
        return (register << 1 & (1 << width) - 1) ^ (out != 0 ? polynomial : 0);
    }

    private void place() {
        if (header == 0) {
            int fdf = flexibleAt();
            if (bits.size() <= fdf) return;
            header = fdf + (isFlexible() ? 8 : isExtended() ? 6 : 5);
        }
        if (dataEnd == 0 && bits.size() == header) dataEnd = header + 8 * bytes();
    }

    boolean isExtended() {
        return bits.size() > 13 && bits.get(13) == 1;
    }

    private int flexibleAt() {
        return isExtended() ? 33 : 14;
    }

    boolean isFlexible() {
        return bits.size() > flexibleAt() && bits.get(flexibleAt()) == 1;
    }

    /** Whether the coming bit says if the rate switches. */
    boolean switchIsNext() {
        return isFlexible() && bits.size() == flexibleAt() + 2;
    }

    /** Whether the bit just read switches the rate. */
    boolean switchesRate() {
        return isFlexible() && bits.size() == flexibleAt() + 3 && bits.get(flexibleAt() + 2) == 1;
    }

    boolean hasSwitch() {
        return isFlexible() && bits.size() > flexibleAt() + 2 && bits.get(flexibleAt() + 2) == 1;
    }

    boolean saysPassive() {
        return isFlexible() && bits.size() > flexibleAt() + 3 && bits.get(flexibleAt() + 3) == 1;
    }

    /** Whether the reserved bit after the FD bit is recessive: no frame of this protocol. */
    boolean isOther() {
        return isFlexible() && bits.size() == flexibleAt() + 2 && bits.get(flexibleAt() + 1) == 1;
    }

    boolean headerRead() {
        return header > 0 && bits.size() >= header;
    }

    int lengthCode() {
        return (int) bits.number(header - 4, 4);
    }

    private int bytes() {
        if (isFlexible()) return BYTES[lengthCode()];
        boolean remote = bits.get(isExtended() ? 32 : 12) == 1;
        return remote ? 0 : Math.min(8, lengthCode());
    }

    boolean isRemote() {
        return !isFlexible() && bits.size() > (isExtended() ? 32 : 12) && bits.get(isExtended() ? 32 : 12) == 1;
    }

    /** The last payload bit has been read. */
    boolean dataRead() {
        return headerRead() && bits.size() >= dataEnd;
    }

    int dataAt() {
        return header;
    }

    int dataBytes() {
        return (dataEnd - header) / 8;
    }

    /** Bits of the check field: CRC-15, or stuff count and CRC-17 or CRC-21. */
    int checkBits() {
        return isFlexible() ? STUFF_COUNT_BITS + crcWidth() : 15;
    }

    private int crcWidth() {
        return dataBytes() <= 16 ? 17 : 21;
    }

    /** A bit of an FD check field that is no fixed stuff bit; it is not stuffed dynamically. */
    void addCheck(int bit) {
        bits.add(bit);
        if (bits.size() > dataEnd + STUFF_COUNT_BITS) return;
        wide(bit);
        if (bits.size() == dataEnd + STUFF_COUNT_BITS) {
            stuffCountWrong = bits.number(dataEnd, STUFF_COUNT_BITS) != STUFF_COUNTS[stuffBits & 7];
        }
    }

    /** All bits have been read. */
    boolean checkHolds() {
        if (!isFlexible()) return register15 == 0;
        int crc = (int) bits.number(dataEnd + STUFF_COUNT_BITS, crcWidth());
        return !stuffCountWrong && crc == (crcWidth() == 17 ? register17 : register21);
    }

    int identifier() {
        return isExtended() ? (int) (bits.number(1, 11) << 18 | bits.number(14, 18)) : (int) bits.number(1, 11);
    }

    boolean isNamed() {
        return bits.size() >= (isExtended() ? 32 : 14);
    }
}
