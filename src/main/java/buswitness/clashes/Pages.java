package buswitness.clashes;

import buswitness.frames.FrameLog;
import java.util.HashMap;
import java.util.Map;

/**
 * A field of the payload that says which page the rest shows. Frames are then compared only with frames of their page.
 *
 * @param first first bit of the selector in the order sent
 * @param width bits, 0 where there are no pages
 * @param pages how many pages were seen
 */
record Pages(int first, int width, int pages) {
    static final Pages NONE = new Pages(0, 0, 1);
    private static final int MOST = 16;
    private static final int FEWEST_EACH = 4;

    /** The selector's value in a frame. */
    int page(FrameLog log, int frame) {
        return width == 0 ? 0 : (int) (log.dataWord(frame) >>> 64 - first - width) & (1 << width) - 1;
    }

    boolean same(FrameLog log, int a, int b) {
        return page(log, a) == page(log, b);
    }

    /** The last frame of each page. */
    static final class Memory {
        private final Pages pages;
        private final Map<Integer, Integer> last = new HashMap<>();

        Memory(Pages pages) {
            this.pages = pages;
        }

        /** Remembers the frame; returns the frame of the same page before it, or null. */
        Integer put(FrameLog log, int frame) {
            return last.put(pages.page(log, frame), frame);
        }
    }

    /**
     * Looks for a selector in the first two bytes: a nibble or byte that often changes and, once known, makes the other
     * bytes steady (changes fall to a quarter or less). A counter is no selector: its other bytes are as steady
     * without.
     */
    static Pages find(FrameLog log, int[] frames) {
        if (frames.length < 3 * FEWEST_EACH) return NONE;
        double plain = changes(log, frames, NONE, NONE);
        Pages best = NONE;
        double least = 0.25;
        for (Pages candidate : new Pages[] {new Pages(0, 8, 0), new Pages(0, 4, 0), new Pages(4, 4, 0),
                new Pages(8, 8, 0)}) {
            int count = count(log, frames, candidate);
            if (count < 2 || count > MOST || frames.length < FEWEST_EACH * count) continue;
            double free = changes(log, frames, NONE, candidate);
            if (free < 0.2) continue;
            double given = changes(log, frames, candidate, candidate) / free;
            if (given < least) {
                least = given;
                best = new Pages(candidate.first, candidate.width, count);
            }
        }
        return plain < 0.2 ? NONE : best;
    }

    private static int count(FrameLog log, int[] frames, Pages pages) {
        Map<Integer, Integer> seen = new HashMap<>();
        for (int frame : frames) {
            seen.merge(pages.page(log, frame), 1, Integer::sum);
            if (seen.size() > MOST) return seen.size();
        }
        for (int n : seen.values()) if (n < FEWEST_EACH) return Integer.MAX_VALUE;
        return seen.size();
    }

    /** Share of frames whose bytes outside {@code hidden} differ from those of the frame before on the same page. */
    private static double changes(FrameLog log, int[] frames, Pages pages, Pages hidden) {
        long mask = hidden.width == 0 ? -1L : ~((1L << hidden.width) - 1 << 64 - hidden.first - hidden.width);
        Memory last = new Memory(pages);
        int pairs = 0;
        int changed = 0;
        for (int frame : frames) {
            Integer before = last.put(log, frame);
            if (before == null) continue;
            pairs++;
            if (((log.dataWord(frame) ^ log.dataWord(before)) & mask) != 0) changed++;
        }
        return pairs == 0 ? 0 : (double) changed / pairs;
    }
}
