package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Progress;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.zip.GZIPOutputStream;

/** Sources made in memory, whole or trickling. */
final class Given {
    private Given() {}

    static byte[] utf8(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }

    static Source source(byte[] bytes) {
        return new Source("<memory>", bytes.length, () -> new ByteArrayInputStream(bytes));
    }

    /** Hands out at most {@code most} bytes a call. */
    static Source trickle(byte[] bytes, int most) {
        return new Source("<memory>", bytes.length, () -> new InputStream() {
            private int at;

            @Override
            public int read() {
                return at < bytes.length ? bytes[at++] & 0xFF : -1;
            }

            @Override
            public int read(byte[] into, int from, int length) {
                int n = Math.min(Math.min(length, most), bytes.length - at);
                if (n <= 0) return length == 0 ? 0 : -1;
                System.arraycopy(bytes, at, into, from, n);
                at += n;
                return n;
            }
        });
    }

    static byte[] gzip(byte[] bytes) {
        try {
            ByteArrayOutputStream out = new ByteArrayOutputStream();
            try (GZIPOutputStream zip = new GZIPOutputStream(out)) {
                zip.write(bytes);
            }
            return out.toByteArray();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    static Recording open(byte[] bytes) {
        return Recordings.open(source(bytes), ReadOptions.NONE);
    }

    static Recording open(String text) {
        return open(utf8(text));
    }

    static Heard read(Recording recording) {
        Heard heard = new Heard(true);
        recording.read(heard, Progress.SILENT);
        return heard;
    }

    static Heard read(String text) {
        return read(open(text));
    }

    /** @return the fault that opening or reading must end with */
    static InputFault fault(String text) {
        return fault(utf8(text));
    }

    static InputFault fault(byte[] bytes) {
        try {
            Heard heard = read(open(bytes));
            throw new AssertionError("no fault, but " + heard);
        } catch (InputFault f) {
            if (f.getMessage().contains("\n")) throw new AssertionError("not one line: " + f.getMessage());
            return f;
        }
    }
}
