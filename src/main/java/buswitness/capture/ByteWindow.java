package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import java.io.Closeable;
import java.io.EOFException;
import java.io.IOException;
import java.io.InputStream;
import java.util.Arrays;
import java.util.zip.GZIPInputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipException;
import java.util.zip.ZipInputStream;

/**
 * A sliding window over the unpacked bytes of a source. Readers scan {@link #bytes} between {@link #pos} and
 * {@link #limit} by hand and call {@link #fill} when they lack some; how the input is chopped cannot show.
 */
final class ByteWindow implements Closeable {
    /** What one line or block may need at most. */
    static final int LARGEST = 1 << 22;

    byte[] bytes;
    int pos;
    int limit;

    private final Source source;
    private final StoredBytes stored;
    private final InputStream in;
    private long base;
    private boolean ended;
    private String broken;

    private ByteWindow(Source source, StoredBytes stored, InputStream in, int capacity) {
        this.source = source;
        this.stored = stored;
        this.in = in;
        this.bytes = new byte[capacity];
    }

    /** Opens a source, unpacking gzip or a zip that holds one file. */
    static ByteWindow open(Source source, Progress progress) {
        return open(source, progress, 1 << 18);
    }

    static ByteWindow open(Source source, Progress progress, int capacity) {
        try {
            int[] head = firstTwo(source);
            StoredBytes stored = new StoredBytes(source, progress);
            try {
                InputStream in = stored;
                if (head[0] == 0x1F && head[1] == 0x8B) in = new GZIPInputStream(stored, 1 << 16);
                if (head[0] == 'P' && head[1] == 'K') in = onlyEntry(stored, source);
                return new ByteWindow(source, stored, in, capacity);
            } catch (EOFException | ZipException e) {
                stored.close();
                throw new InputFault(Place.file(source.name()), "is packed but its first bytes are damaged"
                        + (e.getMessage() == null ? "" : " (" + e.getMessage() + ")"), "take the file again from where it was made");
            }
        } catch (IOException e) {
            throw unreadable(source, e);
        }
    }

    private static int[] firstTwo(Source source) throws IOException {
        try (InputStream peek = source.bytes().open()) {
            return new int[] {peek.read(), peek.read()};
        }
    }

    private static InputStream onlyEntry(InputStream stored, Source source) throws IOException {
        ZipInputStream zip = new ZipInputStream(stored);
        ZipEntry entry = zip.getNextEntry();
        while (entry != null && entry.isDirectory()) entry = zip.getNextEntry();
        if (entry == null) {
            throw new InputFault(Place.file(source.name()), "is a zip without a readable file",
                    "unpack it and name the recording itself");
        }
        return new OnlyEntry(zip, source.name());
    }

    /** Ends with a fault where a second file follows in the zip: which one is meant must be said, not guessed. */
    private static final class OnlyEntry extends InputStream {
        private final ZipInputStream zip;
        private final String name;

        OnlyEntry(ZipInputStream zip, String name) {
            this.zip = zip;
            this.name = name;
        }

        @Override
        public int read() throws IOException {
            byte[] one = new byte[1];
            return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
        }

        @Override
        public int read(byte[] into, int from, int length) throws IOException {
            int got = zip.read(into, from, length);
            if (got < 0) {
                ZipEntry next = zip.getNextEntry();
                while (next != null && next.isDirectory()) next = zip.getNextEntry();
                if (next != null) {
                    throw new InputFault(Place.file(name), "is a zip that holds more than one file",
                            "unpack it and name the recording itself");
                }
            }
            return got;
        }

        @Override
        public void close() throws IOException {
            zip.close();
        }
    }

    /**
     * Brings in more bytes behind {@link #limit}; may move what lies between pos and limit to the front.
     *
     * @return false where nothing more will come: the end, or packed bytes too damaged to unpack ({@link #broken})
     */
    boolean fill() {
        if (ended) return false;
        if (pos > 0) {
            System.arraycopy(bytes, pos, bytes, 0, limit - pos);
            base += pos;
            limit -= pos;
            pos = 0;
        }
        if (limit == bytes.length) {
            if (bytes.length >= LARGEST) return false;
            bytes = Arrays.copyOf(bytes, bytes.length * 2);
        }
        try {
            int got = in.read(bytes, limit, bytes.length - limit);
            if (got < 0) {
                ended = true;
                return false;
            }
            limit += got;
            return true;
        } catch (EOFException e) {
            return breakOff("is cut short inside its packed bytes");
        } catch (ZipException e) {
            return breakOff("is damaged inside its packed bytes (" + e.getMessage() + ")");
        } catch (IOException e) {
            throw unreadable(source, e);
        }
    }

    private boolean breakOff(String why) {
        ended = true;
        broken = why;
        return false;
    }

    /** Makes at least {@code count} bytes available from pos on. @return false where the end comes first */
    boolean need(int count) {
        while (limit - pos < count) {
            if (!fill()) return false;
        }
        return true;
    }

    /** Offset in the unpacked bytes of an index into {@link #bytes}. */
    long offsetOf(int index) {
        return base + index;
    }

    boolean atEnd() {
        return pos == limit && !fill();
    }

    /** Why unpacking stopped early, or null where all came out. */
    String broken() {
        return broken;
    }

    String name() {
        return source.name();
    }

    /** SHA-256 of the whole file as stored. */
    String drain() {
        try {
            return stored.drain();
        } catch (IOException e) {
            throw unreadable(source, e);
        }
    }

    private static InputFault unreadable(Source source, IOException e) {
        String why = e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
        return new InputFault(Place.file(source.name()), "cannot be read (" + why + ")",
                "check the file and its permissions");
    }

    @Override
    public void close() {
        try {
            in.close();
        } catch (IOException ignored) {
            // Nothing was written; a failing close of an input loses nothing.
        }
    }
}
