package buswitness.live;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import java.util.Arrays;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Level changes on their way from the recording's thread to the view's. Bounded; where the view is too slow, changes are left
 * out and a gap stands for them, so that the recording never waits. One thread puts, one takes.
 */
final class ChangeQueue implements EdgeSink {
    /** About 20 MB; four seconds of a full bus at 500 kbit/s. */
    private static final long MOST_WAITING = 2_000_000;
    private static final String WHY = "the live view could not keep up";

    /** What the recording told, in its own order. */
    sealed interface Told {}

    record Begins(int line, long atPicos, int level) implements Told {}

    record Changes(int line, long[] atPicos, byte[] level) implements Told {}

    record Missing(int line, long fromPicos, long untilPicos, String why) implements Told {}

    record Marked(long atPicos, String label) implements Told {}

    record Reached(long atPicos) implements Told {}

    record Ended(long atPicos) implements Told {}

    private final ConcurrentLinkedQueue<Told> queue = new ConcurrentLinkedQueue<>();
    private final AtomicLong waiting = new AtomicLong();
    private volatile long leftOut;
    private volatile long newestPicos;
    private boolean skipping;
    private long skippedFrom;

    /** The next, or null where nothing waits. */
    Told poll() {
        Told told = queue.poll();
        if (told instanceof Changes c) waiting.addAndGet(-c.atPicos.length);
        return told;
    }

    /** Changes that were never looked at. */
    long leftOut() {
        return leftOut;
    }

    /** How far the recording has come. */
    long newestPicos() {
        return newestPicos;
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        if (!skipping) queue.add(new Begins(line, atPicos, level));
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.count == 0) return;
        long first = block.atPicos[0];
        boolean full = waiting.get() > (skipping ? MOST_WAITING / 2 : MOST_WAITING);
        if (full) {
            if (!skipping) skippedFrom = newestPicos;
            skipping = true;
            leftOut += block.count;
        } else {
            if (skipping) {
                queue.add(new Missing(block.line, skippedFrom, Math.max(skippedFrom, first - 1), WHY));
                queue.add(new Begins(block.line, first - 1, 1 - block.level[0]));
                skipping = false;
            }
            queue.add(new Changes(block.line, Arrays.copyOf(block.atPicos, block.count),
                    Arrays.copyOf(block.level, block.count)));
            waiting.addAndGet(block.count);
        }
        newestPicos = block.atPicos[block.count - 1];
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        if (!skipping) queue.add(new Missing(line, fromPicos, untilPicos, why));
        newestPicos = Math.max(newestPicos, untilPicos);
    }

    @Override
    public void mark(long atPicos, String label) {
        queue.add(new Marked(atPicos, label));
    }

    @Override
    public void upTo(long atPicos) {
        newestPicos = Math.max(newestPicos, atPicos);
        if (!skipping) queue.add(new Reached(atPicos));
    }

    @Override
    public void end(long atPicos) {
        queue.add(new Ended(atPicos));
    }
}
