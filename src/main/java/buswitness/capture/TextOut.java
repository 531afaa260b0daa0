package buswitness.capture;

import java.io.Closeable;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;

/** Buffered text output that prints numbers without making strings. */
final class TextOut implements Closeable {
    private final OutputStream out;
    private final byte[] buffer = new byte[1 << 16];
    private final byte[] digits = new byte[20];
    private int used;

    TextOut(OutputStream out) {
        this.out = out;
    }

    TextOut put(char ascii) {
        if (used == buffer.length) flush();
        buffer[used++] = (byte) ascii;
        return this;
    }

    TextOut put(String text) {
        for (byte b : text.getBytes(StandardCharsets.UTF_8)) put((char) (b & 0xFF));
        return this;
    }

    TextOut line(String text) {
        return put(text).put('\n');
    }

    /** A whole number, 0 or more. */
    TextOut put(long number) {
        if (buffer.length - used < 20) flush();
        int n = 0;
        long rest = number;
        do {
            digits[n++] = (byte) ('0' + rest % 10);
            rest /= 10;
        } while (rest > 0);
        while (n > 0) buffer[used++] = digits[--n];
        return this;
    }

    /**
     * Picoseconds, 0 or more, in a larger unit: as many decimals as the value needs, at least so many.
     *
     * @param unitPicos a power of ten
     */
    TextOut time(long picos, long unitPicos, int leastDecimals) {
        put(picos / unitPicos);
        long rest = picos % unitPicos;
        if (rest == 0 && leastDecimals == 0) return this;
        put('.');
        long place = unitPicos;
        for (int n = 0; rest > 0 || n < leastDecimals; n++) {
            place /= 10;
            put((char) ('0' + rest / place));
            rest %= place;
        }
        return this;
    }

    void flush() {
        try {
            out.write(buffer, 0, used);
            used = 0;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public void close() throws IOException {
        out.write(buffer, 0, used);
        used = 0;
        out.close();
    }
}
