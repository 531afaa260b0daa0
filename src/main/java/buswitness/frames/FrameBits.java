package buswitness.frames;

/** Bits of one frame on their way in, in the order in which numbers are written; reused. */
final class FrameBits {
    /** Room for 255 bytes of payload and what stands around them. */
    private static final int MOST = 2304;

    private final byte[] bits = new byte[MOST];
    private int size;

    void clear() {
        size = 0;
    }

    int size() {
        return size;
    }

    /** Bits beyond the room are dropped: no frame is so long. */
    void add(int bit) {
        if (size < MOST) bits[size++] = (byte) bit;
    }

    void addByte(int value) {
        for (int i = 7; i >= 0; i--) add(value >>> i & 1);
    }

    int get(int at) {
        return bits[at];
    }

    /** {@code width} bits, 0 to 48, from bit {@code at}, most significant first. */
    long number(int at, int width) {
        long value = 0;
        for (int i = 0; i < width; i++) value = value << 1 | bits[at + i];
        return value;
    }

    BitString copy() {
        BitString out = new BitString();
        for (int i = 0; i < size; i++) out.add(bits[i]);
        return out;
    }
}
