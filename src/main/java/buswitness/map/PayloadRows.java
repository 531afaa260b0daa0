package buswitness.map;

import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * The payloads of one message, those of its usual length, as rows. Rows of one stream (one recording, one sender) follow
 * each other in time; between streams nothing is compared.
 */
final class PayloadRows {
    /** Rows of one stream: more tell nothing new about structure. */
    private static final int MOST_IN_STREAM = 20_000;

    final int length;
    final byte[][] data;
    final double[] at;
    final int[] stream;
    /** Whole frames of other lengths, left out. */
    final int otherLengths;

    private PayloadRows(int length, byte[][] data, double[] at, int[] stream, int otherLengths) {
        this.length = length;
        this.data = data;
        this.at = at;
        this.stream = stream;
        this.otherLengths = otherLengths;
    }

    /** A stretch of frames that one sender sent in one recording. */
    record Stream(FrameLog log, int[] frames) {}

    static PayloadRows of(List<Stream> streams) {
        Map<Integer, Integer> lengths = new HashMap<>();
        for (Stream s : streams) for (int f : s.frames) lengths.merge(s.log.dataLength(f), 1, Integer::sum);
        int usual = 0;
        int most = -1;
        int all = 0;
        for (Map.Entry<Integer, Integer> e : lengths.entrySet()) {
            all += e.getValue();
            if (e.getValue() > most || e.getValue() == most && e.getKey() > usual) {
                most = e.getValue();
                usual = e.getKey();
            }
        }
        List<byte[]> data = new ArrayList<>();
        List<Double> at = new ArrayList<>();
        List<Integer> stream = new ArrayList<>();
        for (int s = 0; s < streams.size(); s++) {
            int taken = 0;
            for (int f : streams.get(s).frames) {
                if (streams.get(s).log.dataLength(f) != usual) continue;
                if (++taken > MOST_IN_STREAM) break;
                data.add(streams.get(s).log.data(f));
                at.add(streams.get(s).log.startSeconds(f));
                stream.add(s);
            }
        }
        return new PayloadRows(usual, data.toArray(byte[][]::new), at.stream().mapToDouble(d -> d).toArray(),
                stream.stream().mapToInt(i -> i).toArray(), all - Math.max(0, most));
    }

    int size() {
        return data.length;
    }

    int bits() {
        return 8 * length;
    }

    int bit(int row, int bit) {
        return data[row][bit >> 3] >> 7 - (bit & 7) & 1;
    }

    /** {@code width} bits from {@code first}, the first sent highest. */
    long number(int row, int first, int width) {
        long value = 0;
        for (int i = first; i < first + width; i++) value = value << 1 | bit(row, i);
        return value;
    }

    /**
     * For each row the row before it in its stream, or -1.
     *
     * @param pageFirst  first bit of a page number, -1 for none: then the row before with the same number
     */
    int[] before(int pageFirst, int pageWidth) {
        int[] before = new int[size()];
        Map<Long, Integer> last = new HashMap<>();
        for (int i = 0; i < before.length; i++) {
            long page = pageFirst < 0 ? 0 : number(i, pageFirst, pageWidth);
            Integer earlier = last.put(page, i);
            before[i] = earlier == null || stream[earlier] != stream[i] ? -1 : earlier;
        }
        return before;
    }

    /** The rows on which a page is shown, as rows of their own. */
    PayloadRows page(int first, int width, long number) {
        List<byte[]> rows = new ArrayList<>();
        List<Double> times = new ArrayList<>();
        List<Integer> streams = new ArrayList<>();
        for (int i = 0; i < size(); i++) {
            if (number(i, first, width) != number) continue;
            rows.add(data[i]);
            times.add(at[i]);
            streams.add(stream[i]);
        }
        return new PayloadRows(length, rows.toArray(byte[][]::new), times.stream().mapToDouble(d -> d).toArray(),
                streams.stream().mapToInt(i -> i).toArray(), 0);
    }
}
