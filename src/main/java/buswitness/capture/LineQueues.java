package buswitness.capture;

import java.util.Arrays;

/** Changes that wait, line by line, until it is sure that no earlier one follows. */
final class LineQueues {
    private static final int MERGED = EdgeBlock.CAPACITY;

    /** The last {@link #merge}: times, lines and levels in time order. */
    final long[] mergedAt = new long[MERGED];
    final int[] mergedLine = new int[MERGED];
    final byte[] mergedLevel = new byte[MERGED];

    private final Queue[] queues;

    /** One line's changes from {@code head} to {@code tail}. */
    static final class Queue {
        long[] at = new long[64];
        byte[] level = new byte[64];
        int head;
        int tail;

        /** How many wait with a time before this one. */
        int before(long limit) {
            int low = head;
            int high = tail;
            while (low < high) {
                int middle = (low + high) >>> 1;
                if (at[middle] < limit) low = middle + 1;
                else high = middle;
            }
            return low - head;
        }
    }

    LineQueues(int lines) {
        queues = new Queue[lines];
        for (int i = 0; i < lines; i++) queues[i] = new Queue();
    }

    int lines() {
        return queues.length;
    }

    Queue queue(int line) {
        return queues[line];
    }

    void add(EdgeBlock block) {
        Queue q = queues[block.line];
        if (q.tail + block.count > q.at.length) {
            int waiting = q.tail - q.head;
            int size = Math.max(q.at.length, (waiting + block.count) * 2);
            long[] at = size > q.at.length ? new long[size] : q.at;
            byte[] level = size > q.level.length ? new byte[size] : q.level;
            System.arraycopy(q.at, q.head, at, 0, waiting);
            System.arraycopy(q.level, q.head, level, 0, waiting);
            q.at = at;
            q.level = level;
            q.head = 0;
            q.tail = waiting;
        }
        System.arraycopy(block.atPicos, 0, q.at, q.tail, block.count);
        System.arraycopy(block.level, 0, q.level, q.tail, block.count);
        q.tail += block.count;
    }

    /**
     * Takes changes before a time out of the queues, in time order, lower lines first at one instant.
     *
     * @return how many now stand in the merged arrays; 0 where none is left
     */
    int merge(long before) {
        int n = 0;
        while (n < MERGED) {
            int first = -1;
            long firstAt = before;
            long nextAt = before;
            for (int i = 0; i < queues.length; i++) {
                Queue q = queues[i];
                if (q.head == q.tail) continue;
                long at = q.at[q.head];
                if (at < firstAt) {
                    nextAt = firstAt;
                    firstAt = at;
                    first = i;
                } else if (at < nextAt) {
                    nextAt = at;
                }
            }
            if (first < 0) break;
            Queue q = queues[first];
            int from = q.head;
            int most = Math.min(q.tail, from + MERGED - n);
            int to = from;
            do to++; while (to < most && q.at[to] < nextAt);
            System.arraycopy(q.at, from, mergedAt, n, to - from);
            System.arraycopy(q.level, from, mergedLevel, n, to - from);
            Arrays.fill(mergedLine, n, n + to - from, first);
            n += to - from;
            q.head = to;
        }
        return n;
    }
}
