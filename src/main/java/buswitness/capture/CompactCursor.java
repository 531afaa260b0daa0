package buswitness.capture;

import java.nio.charset.StandardCharsets;

/**
 * Reads the fields of one payload: bytes and counts of 7 bits a byte, low bits first, the top bit saying that another
 * byte follows. The check sum has passed by then, so a field that makes no sense was written so.
 */
final class CompactCursor {
    /** Thrown out of a payload that contradicts itself; {@link CompactForm} adds the place. */
    static final class Contradiction extends RuntimeException {
        private static final long serialVersionUID = 1L;

        Contradiction(String what) {
            super(what, null, false, false);
        }
    }

    private final byte[] bytes;
    private final int end;
    int at;

    CompactCursor(byte[] bytes, int from, int to) {
        this.bytes = bytes;
        this.at = from;
        this.end = to;
    }

    boolean more() {
        return at < end;
    }

    int u8() {
        if (at >= end) throw new Contradiction("a field reaches beyond its end");
        return bytes[at++] & 0xFF;
    }

    /** @return 0 or more */
    long count() {
        if (at < end && bytes[at] >= 0) return bytes[at++];
        return longer();
    }

    private long longer() {
        long value = 0;
        for (int shift = 0; shift < 63; shift += 7) {
            int b = u8();
            value |= (long) (b & 0x7F) << shift;
            if (b < 0x80) return value;
        }
        throw new Contradiction("a count has more than 63 bits");
    }

    float float32() {
        int bits = 0;
        for (int i = 0; i < 4; i++) bits |= u8() << 8 * i;
        return Float.intBitsToFloat(bits);
    }

    int below(long limit, String what) {
        long value = count();
        if (value >= limit) throw new Contradiction(what + " is " + value + ", not below " + limit);
        return (int) value;
    }

    String text() {
        int length = below(end - at + 1L, "the length of a text");
        if (at + length > end) throw new Contradiction("a text reaches beyond its end");
        at += length;
        return new String(bytes, at - length, length, StandardCharsets.UTF_8);
    }
}
