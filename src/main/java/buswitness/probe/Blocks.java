package buswitness.probe;

import java.io.ByteArrayOutputStream;
import java.util.Arrays;
import java.util.zip.CRC32;

/**
 * The outer shape of the line protocol: blocks closed by a zero byte, with no zero inside (consistent overhead byte stuffing,
 * Cheshire and Baker 1999), each with a CRC-32. Whatever is lost or altered, the next zero is the end of a block.
 */
final class Blocks {
    static final int MOST_BYTES = 1024;
    private static final int SUM = 4;

    private Blocks() {}

    /** Wraps kind, number and fields. */
    static byte[] wrap(byte[] content) {
        byte[] all = Arrays.copyOf(content, content.length + SUM);
        CRC32 crc = new CRC32();
        crc.update(content);
        for (int i = 0; i < SUM; i++) all[content.length + i] = (byte) (crc.getValue() >>> 8 * i);
        ByteArrayOutputStream out = new ByteArrayOutputStream(all.length + 4);
        int from = 0;
        for (;;) {
            int run = 0;
            while (run < 254 && from + run < all.length && all[from + run] != 0) run++;
            out.write(run + 1);
            out.write(all, from, run);
            if (from + run == all.length) break;
            from += run == 254 ? run : run + 1;                 // a full run stands for no zero
        }
        out.write(0);
        return out.toByteArray();
    }

    /** @return kind, number and fields of the bytes before a zero, or null where they are no whole block */
    static byte[] unwrap(byte[] stuffed, int length) {
        byte[] all = new byte[length];
        int n = 0;
        int at = 0;
        while (at < length) {
            int code = stuffed[at++] & 0xFF;
            if (code == 0 || at + code - 1 > length) return null;
            for (int i = 1; i < code; i++) all[n++] = stuffed[at++];
            if (code < 255 && at < length) all[n++] = 0;
        }
        if (n < 2 + SUM) return null;
        CRC32 crc = new CRC32();
        crc.update(all, 0, n - SUM);
        for (int i = 0; i < SUM; i++) {
            if (all[n - SUM + i] != (byte) (crc.getValue() >>> 8 * i)) return null;
        }
        return Arrays.copyOf(all, n - SUM);
    }
}
