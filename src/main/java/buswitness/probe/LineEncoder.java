package buswitness.probe;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;

/** What a probe sends, block by block. */
final class LineEncoder {
    private int number;

    byte[] info(long hertz, String name) {
        ByteArrayOutputStream out = head(LineDecoder.INFO);
        out.write(LineDecoder.VERSION);
        for (int i = 0; i < 4; i++) out.write((int) (hertz >>> 8 * i));
        out.writeBytes(name.getBytes(StandardCharsets.UTF_8));
        return Blocks.wrap(out.toByteArray());
    }

    /** @param at ticks of the changes, later than since @param until ticks up to which nothing else happened */
    byte[] changes(long since, int level, boolean missed, long[] at, int count, long until) {
        ByteArrayOutputStream out = head(LineDecoder.CHANGES);
        for (int i = 0; i < 6; i++) out.write((int) (since >>> 8 * i));
        out.write(level | (missed ? LineDecoder.OVERRUN : 0));
        long before = since;
        for (int i = 0; i < count; i++) {
            count(out, at[i] - before);
            before = at[i];
        }
        count(out, until - before);
        return Blocks.wrap(out.toByteArray());
    }

    private ByteArrayOutputStream head(int kind) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        out.write(kind);
        out.write(number++);
        return out;
    }

    private static void count(ByteArrayOutputStream out, long value) {
        long rest = value;
        while (rest >= 0x80) {
            out.write((int) (rest & 0x7F) | 0x80);
            rest >>>= 7;
        }
        out.write((int) rest);
    }
}
