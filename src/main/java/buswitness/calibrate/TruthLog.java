package buswitness.calibrate;

import buswitness.simulate.FrameTruth;
import buswitness.simulate.TruthSink;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** What really happened, frame by frame, as far as the counting needs it. */
final class TruthLog implements TruthSink {
    /** Several nodes sent this frame together. */
    static final int SEVERAL = -1;
    /** Nobody did: interference. */
    static final int NOBODY = -2;

    private final List<String> nodes;
    private final Set<Long> watched = new HashSet<>();
    private int size;
    private long[] start = new long[1024];
    private long[] key = new long[1024];
    private byte[] node = new byte[1024];
    private boolean[] whole = new boolean[1024];
    private long[] data = new long[1024];
    private final Map<Long, Integer> headOn = new HashMap<>();

    /** @param watched messages of which two nodes are known to be senders */
    TruthLog(List<String> nodes, Set<Long> watched) {
        this.nodes = nodes;
        this.watched.addAll(watched);
    }

    @Override
    public void frame(FrameTruth frame) {
        if (size == start.length) grow();
        int i = size++;
        start[i] = frame.startPicos();
        whole[i] = frame.whole();
        key[i] = -1;
        node[i] = NOBODY;
        FrameTruth.Sender shown = null;
        int senders = 0;
        for (FrameTruth.Sender sender : frame.senders()) {
            if (frame.whole() && !sender.completed()) continue;
            if (sender.remote()) continue;
            shown = sender;
            senders++;
        }
        if (shown == null) return;
        key[i] = shown.key();
        node[i] = (byte) (senders > 1 ? SEVERAL : nodes.indexOf(shown.node()));
        data[i] = word(shown.data());
        if (!frame.whole() && senders > 1 && watched.contains(shown.key())) headOn.merge(shown.key(), 1, Integer::sum);
    }

    private static long word(byte[] bytes) {
        long word = 0;
        for (byte b : bytes) word = word << 8 | b & 0xFF;
        return word;
    }

    private void grow() {
        int more = size * 2;
        start = Arrays.copyOf(start, more);
        key = Arrays.copyOf(key, more);
        node = Arrays.copyOf(node, more);
        whole = Arrays.copyOf(whole, more);
        data = Arrays.copyOf(data, more);
    }

    int size() {
        return size;
    }

    long startPicos(int i) {
        return start[i];
    }

    long key(int i) {
        return key[i];
    }

    /** Index of the node, {@link #SEVERAL} or {@link #NOBODY}. */
    int node(int i) {
        return node[i];
    }

    boolean whole(int i) {
        return whole[i];
    }

    long data(int i) {
        return data[i];
    }

    /** Frames of a message that two nodes broke for each other. */
    int headOn(long ofKey) {
        return headOn.getOrDefault(ofKey, 0);
    }

    /** Index of the frame that starts within {@code nearPicos} of an instant, the nearest; -1 for none. */
    int at(long picos, long nearPicos) {
        int i = Arrays.binarySearch(start, 0, size, picos);
        if (i >= 0) return i;
        int after = -i - 1;
        int best = -1;
        long least = nearPicos;
        for (int k = Math.max(0, after - 1); k <= Math.min(size - 1, after); k++) {
            long off = Math.abs(start[k] - picos);
            if (off <= least) {
                least = off;
                best = k;
            }
        }
        return best;
    }
}
