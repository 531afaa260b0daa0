package buswitness.frames;

import java.util.Arrays;

/** The payloads of a log's frames, and the replies within them, one after the other in one array. */
final class PayloadPool {
    /** Most bytes of a row: payload and reply. */
    private static final int MOST = 510;

    private int[] at;
    private byte[] length;
    private byte[] responseLength;
    private byte[] bytes = new byte[2048];
    private int used;

    PayloadPool(int frames) {
        at = new int[frames];
        length = new byte[frames];
        responseLength = new byte[frames];
    }

    void grow(int frames) {
        at = Arrays.copyOf(at, frames);
        length = Arrays.copyOf(length, frames);
        responseLength = Arrays.copyOf(responseLength, frames);
    }

    void put(int frame, LogRow row) {
        if (used + MOST > bytes.length) bytes = Arrays.copyOf(bytes, bytes.length * 2 + MOST);
        System.arraycopy(row.data, 0, bytes, used, row.dataLength);
        at[frame] = used;
        used += row.dataLength;
        length[frame] = (byte) row.dataLength;
        System.arraycopy(row.response, 0, bytes, used, row.responseLength);
        used += row.responseLength;
        responseLength[frame] = (byte) row.responseLength;
    }

    /** Drops the oldest of {@code frames}. */
    void forget(int oldest, int frames) {
        int kept = frames - oldest;
        int gone = kept == 0 ? used : at[oldest];
        System.arraycopy(at, oldest, at, 0, kept);
        System.arraycopy(length, oldest, length, 0, kept);
        System.arraycopy(responseLength, oldest, responseLength, 0, kept);
        for (int i = 0; i < kept; i++) at[i] -= gone;
        System.arraycopy(bytes, gone, bytes, 0, used - gone);
        used -= gone;
    }

    /** Frames {@code from} to before {@code to}, of {@code frames} in all, with room for {@code capacity}. */
    PayloadPool copy(int from, int to, int frames, int capacity) {
        PayloadPool copy = new PayloadPool(capacity);
        int n = to - from;
        int begin = n == 0 ? used : at[from];
        int end = to == frames ? used : at[to];
        System.arraycopy(at, from, copy.at, 0, n);
        System.arraycopy(length, from, copy.length, 0, n);
        System.arraycopy(responseLength, from, copy.responseLength, 0, n);
        for (int i = 0; i < n; i++) copy.at[i] -= begin;
        copy.bytes = Arrays.copyOfRange(bytes, begin, Math.max(end, begin + 1));
        copy.used = Math.max(0, end - begin);
        return copy;
    }

    int length(int frame) {
        return length[frame] & 0xFF;
    }

    int get(int frame, int index) {
        return bytes[at[frame] + index] & 0xFF;
    }

    byte[] data(int frame) {
        return Arrays.copyOfRange(bytes, at[frame], at[frame] + length(frame));
    }

    byte[] response(int frame) {
        int from = at[frame] + length(frame);
        return Arrays.copyOfRange(bytes, from, from + (responseLength[frame] & 0xFF));
    }
}
