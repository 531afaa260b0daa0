package buswitness.capture;

import buswitness.problem.Progress;
import java.io.IOException;
import java.io.InputStream;
import java.security.DigestInputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;

/** The file as stored: counts, reports progress and sums what passes, whatever unpacks it above. */
final class StoredBytes extends InputStream {
    private final DigestInputStream in;
    private final long size;
    private final Progress progress;
    private long count;
    private boolean ended;

    StoredBytes(Source source, Progress progress) throws IOException {
        this.in = new DigestInputStream(source.bytes().open(), sha256());
        this.size = source.size();
        this.progress = progress;
    }

    @Override
    public int read() throws IOException {
        byte[] one = new byte[1];
        return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
    }

    @Override
    public int read(byte[] into, int from, int length) throws IOException {
        int got = in.read(into, from, length);
        if (got < 0) {
            ended = true;
        } else {
            count += got;
            progress.at("reading", count, size);
        }
        return got;
    }

    /** Never 0 before the end: the gzip reader asks this to learn whether another member follows. */
    @Override
    public int available() {
        return ended ? 0 : 1;
    }

    /** Reads what the unpacker left unread, so that the sum covers the whole file. @return SHA-256, lower-case */
    String drain() throws IOException {
        byte[] rest = new byte[1 << 16];
        while (!ended) read(rest, 0, rest.length);
        return HexFormat.of().formatHex(in.getMessageDigest().digest());
    }

    @Override
    public void close() throws IOException {
        in.close();
    }

    private static MessageDigest sha256() {
        try {
            return MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform must offer SHA-256", e);
        }
    }
}
