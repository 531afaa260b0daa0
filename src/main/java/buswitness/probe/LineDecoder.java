package buswitness.probe;

import java.nio.charset.StandardCharsets;

/** Bytes of the port to blocks; damage costs the block it hits. */
final class LineDecoder {
    static final int INFO = 'I';
    static final int CHANGES = 'C';
    static final int VERSION = 1;
    static final int LEVEL = 1;
    static final int OVERRUN = 2;

    /** Takes what the probe says. */
    interface Listener {
        void info(long hertz, String name);

        /**
         * Everything the line did from one instant on, without a hole.
         *
         * @param since  probe's ticks
         * @param level  at that instant
         * @param missed the probe itself missed changes before it
         * @param after  ticks of each change behind the one before, the first behind {@code since}; the last entry is none:
         *               so much longer the level held
         */
        void changes(long since, int level, boolean missed, long[] after, int count);
    }

    private final Listener listener;
    private final byte[] stuffed = new byte[Blocks.MOST_BYTES];
    private final long[] after = new long[Blocks.MOST_BYTES];
    private int length;
    private boolean tooLong;
    private boolean inStep;
    private int number = -1;
    long damaged;
    long lost;

    LineDecoder(Listener listener) {
        this.listener = listener;
    }

    void feed(byte[] bytes, int count) {
        for (int i = 0; i < count; i++) {
            if (bytes[i] != 0) {
                if (length == stuffed.length) tooLong = true;
                else stuffed[length++] = bytes[i];
                continue;
            }
            if (length > 0 || tooLong) block();
            length = 0;
            tooLong = false;
            inStep = true;
        }
    }

    /** The port was opened anew: what comes first is the rest of a block. */
    void reopened() {
        length = 0;
        tooLong = false;
        inStep = false;
        number = -1;
    }

    private void block() {
        byte[] content = tooLong ? null : Blocks.unwrap(stuffed, length);
        if (content == null || !read(content)) {
            if (inStep) damaged++;
        }
    }

    private boolean read(byte[] b) {
        int now = b[1] & 0xFF;
        if (number >= 0) lost += now - number - 1 & 0xFF;
        number = now;
        if (b[0] == INFO) return info(b);
        return b[0] != CHANGES || changes(b);                  // a kind of a later version is passed over
    }

    private boolean info(byte[] b) {
        if (b.length < 7 || b[2] != VERSION) return false;
        long hertz = 0;
        for (int i = 0; i < 4; i++) hertz |= (b[3 + i] & 0xFFL) << 8 * i;
        if (hertz < 1000) return false;
        listener.info(hertz, new String(b, 7, b.length - 7, StandardCharsets.UTF_8));
        return true;
    }

    private boolean changes(byte[] b) {
        if (b.length < 10) return false;
        long since = 0;
        for (int i = 0; i < 6; i++) since |= (b[2 + i] & 0xFFL) << 8 * i;
        int count = 0;
        int at = 9;
        while (at < b.length) {
            long value = 0;
            int shift = 0;
            do {
                if (at == b.length || shift > 42) return false;
                value |= (b[at] & 0x7FL) << shift;
                shift += 7;
            } while ((b[at++] & 0x80) != 0);
            if (value == 0 && at < b.length) return false;      // two changes at one instant
            after[count++] = value;
        }
        listener.changes(since, b[8] & LEVEL, (b[8] & OVERRUN) != 0, after, count);
        return true;
    }
}
