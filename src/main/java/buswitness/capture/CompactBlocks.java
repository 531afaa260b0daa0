package buswitness.capture;

import java.util.zip.CRC32;

/**
 * The outer shape of our compact recording: blocks that each carry a marker, a number, a length and a check sum. Walks
 * them and gets back into step behind damage. The form is described in captures/README.md.
 */
final class CompactBlocks {
    static final byte[] MAGIC = {(byte) 0xC2, 'W', 'I', 'T', 'N', '1', '\r', '\n'};
    static final byte[] MARKER = {(byte) 0xD7, (byte) 0xB1, 0x0C, (byte) 0xE5};
    /** Marker, kind, number, length, check sum. */
    static final int HEAD = 17;
    static final int MOST_PAYLOAD = 1 << 20;
    static final byte HEADER = 'H';
    static final byte CHANGES = 'C';
    static final byte INDEX = 'X';
    static final byte LEVELS = 'L';
    /** Behind the index: where it begins, then the marker backwards. */
    static final int TRAILER = 12;

    /** Kind of the current block. */
    byte kind;
    /** Its number, from 0. */
    long number;
    /** Its payload lies in {@code window.bytes} from here to {@link #to}. */
    int from;
    int to;
    /** Byte at which it begins. */
    long offset;
    /** First of the bytes before it that belong to no whole block, or -1. */
    long damagedFrom;

    private final ByteWindow window;
    private final CRC32 crc = new CRC32();

    CompactBlocks(ByteWindow window) {
        this.window = window;
        window.need(MAGIC.length);
        damagedFrom = -1;
        if (matches(MAGIC)) window.pos += MAGIC.length;
    }

    /** @return whether the bytes are those of a compact recording, its very beginning damaged or not */
    static boolean startsWith(byte[] bytes, int from, int limit) {
        for (int i = from; i + HEAD <= limit; i++) {
            if (i == from && starts(bytes, i, limit, MAGIC) || starts(bytes, i, limit, MARKER)) return true;
        }
        return false;
    }

    private static boolean starts(byte[] bytes, int at, int limit, byte[] wanted) {
        return at + wanted.length <= limit
                && java.util.Arrays.equals(bytes, at, at + wanted.length, wanted, 0, wanted.length);
    }

    private boolean matches(byte[] wanted) {
        return starts(window.bytes, window.pos, window.limit, wanted);
    }

    /** Moves to the next whole block. @return false where none follows; {@link #damagedFrom} tells of a broken rest */
    boolean next() {
        damagedFrom = -1;
        while (window.need(HEAD)) {
            if (matches(MARKER) && whole()) return true;
            if (damagedFrom < 0) damagedFrom = window.offsetOf(window.pos);
            window.pos++;
            while (window.pos < window.limit && window.bytes[window.pos] != MARKER[0]) window.pos++;
        }
        if (kind == INDEX && damagedFrom < 0 && trailer()) return false;
        if (damagedFrom < 0 && window.pos < window.limit) damagedFrom = window.offsetOf(window.pos);
        return false;
    }

    private boolean trailer() {
        if (window.limit - window.pos != TRAILER) return false;
        for (int i = 0; i < 8; i++) {
            if (window.bytes[window.pos + i] != (byte) (offset >>> 8 * i)) return false;
        }
        for (int i = 0; i < 4; i++) {
            if (window.bytes[window.pos + 8 + i] != MARKER[3 - i]) return false;
        }
        return true;
    }

    private boolean whole() {
        long length = u32(window.bytes, window.pos + 9);
        if (length > MOST_PAYLOAD || !window.need(HEAD + (int) length)) return false;
        byte[] b = window.bytes;
        int at = window.pos;
        crc.reset();
        crc.update(b, at + 4, 9);
        crc.update(b, at + HEAD, (int) length);
        if (crc.getValue() != u32(b, at + 13)) return false;
        kind = b[at + 4];
        number = u32(b, at + 5);
        offset = window.offsetOf(at);
        from = at + HEAD;
        to = from + (int) length;
        window.pos = to;
        return true;
    }

    private static long u32(byte[] b, int at) {
        return (b[at] & 0xFFL) | (b[at + 1] & 0xFFL) << 8 | (b[at + 2] & 0xFFL) << 16 | (b[at + 3] & 0xFFL) << 24;
    }
}
