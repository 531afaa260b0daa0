package buswitness.bits;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Changes written out by hand; runs shorter than 30 are glitches. */
class GlitchFilterTest {
    private final GlitchFilter filter = new GlitchFilter(30);
    private final List<Long> at = new ArrayList<>();
    private final List<Integer> level = new ArrayList<>();
    private final List<Integer> ringing = new ArrayList<>();
    private final List<Integer> spikes = new ArrayList<>();

    /** Feeds changes that alternate from level 0 on; negative {@code end} leaves watching on. */
    private void feed(int atOnce, long end, long... changes) {
        byte[] levels = new byte[changes.length];
        for (int i = 0; i < levels.length; i++) levels[i] = (byte) (i & 1);
        filter.begin(0, 1);
        for (int i = 0; i < changes.length; i += atOnce) {
            filter.filter(changes, levels, i, Math.min(changes.length, i + atOnce));
            take();
        }
        if (end < 0) return;
        filter.stop(end);
        take();
    }

    private void take() {
        for (int i = 0; i < filter.count; i++) {
            at.add(filter.atPicos[i]);
            level.add((int) filter.level[i]);
            ringing.add(filter.glitches[i] & 0xFFFF);
            spikes.add(filter.glitches[i] >>> 16);
        }
    }

    @Test
    void cleanChangesPass() {
        feed(8, 1000, 100, 200, 300, 330);
        assertEquals(List.of(100L, 200L, 300L, 330L), at);
        assertEquals(List.of(0, 1, 0, 1), level);
        assertEquals(0, filter.filtered);
    }

    /** The line rings after a change: its first crossing is the edge. */
    @Test
    void ringingKeepsTheFirstCrossing() {
        feed(8, 1000, 100, 110, 125, 130, 135, 400);
        assertEquals(List.of(100L, 400L), at);
        assertEquals(List.of(0, 1), level);
        assertEquals(List.of(4, 0), ringing);
        assertEquals(List.of(0, 0), spikes);
        assertEquals(4, filter.filtered);
    }

    /** An excursion that comes back leaves no edge, and is told as a spike of the run that it hit. */
    @Test
    void spikesVanish() {
        feed(8, 1000, 100, 120, 300, 310, 500);
        assertEquals(List.of(500L), at);
        assertEquals(List.of(2), spikes);
        assertEquals(2, filter.filtered);
    }

    /** A run of exactly the limit stays; one tick less goes. */
    @Test
    void theLimitItself() {
        feed(8, 1000, 100, 130, 500);
        assertEquals(List.of(100L, 130L, 500L), at);
        at.clear();
        feed(8, 1000, 100, 129, 500);
        assertEquals(List.of(500L), at);
    }

    /** A change just before the end counts only if it has lasted. */
    @Test
    void theEndOfWatching() {
        feed(8, 130, 100);
        assertEquals(List.of(100L), at);
        at.clear();
        feed(8, 129, 100);
        assertEquals(List.of(), at);
    }

    @Test
    void choppingChangesNothing() {
        long[] changes = {100, 110, 125, 300, 310, 325, 330, 500, 560, 570, 640, 900};
        feed(1, 2000, changes);
        List<Long> first = List.copyOf(at);
        for (int atOnce : new int[] {2, 3, 5, 12}) {
            at.clear();
            feed(atOnce, 2000, changes);
            assertEquals(first, at, atOnce + " at once");
        }
        assertEquals(List.of(100L, 500L, 640L, 900L), first);
    }
}
