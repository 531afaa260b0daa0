package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;

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

    /** The pages a layout tells of, or null. */
    private static Pages documented(Message message) {
        if (message == null) return null;
        Signal.Page first = null;
        Set<Long> values = new HashSet<>();
        for (Signal s : message.carries()) {
            Signal.Page page = s.page();
            if (page == null || page.firstBit() + page.width() > 64 || page.width() > 16) continue;
            if (first == null) first = page;
            if (page.firstBit() == first.firstBit() && page.width() == first.width()) values.add(page.value());
        }
        // What a layout knows to be a value on every page is no page's number.
        if (first == null) return message.carries().isEmpty() ? null : NONE;
        return new Pages(first.firstBit(), first.width(), values.size());
    }

    /** The same for all whole frames of a message, as one train. */
    static Pages find(MessageView view) {
        return find(view.log, Arrays.copyOf(view.whole, view.wholeCount), view.documented, 0);
    }

    /**
     * What the layout says, else looks for a selector in the first two bytes: a nibble or byte that often changes and,
     * once known, makes the other bytes steady (changes fall to a quarter or less). A counter is no selector: its other
     * bytes are as steady without.
     */
    static Pages find(FrameLog log, int[] frames, Message documented, long ignored) {
        Pages known = documented(documented);
        if (known != null) return known;
        if (frames.length < 3 * FEWEST_EACH) return NONE;
        double plain = changes(log, frames, NONE, NONE, ignored);
        Pages best = NONE;
        double least = 0.25;
        for (Pages candidate : new Pages[] {new Pages(0, 8, 0), new Pages(0, 4, 0), new Pages(4, 4, 0),
                new Pages(8, 8, 0)}) {
            int count = count(log, frames, candidate);
            if (count < 2 || count > MOST || frames.length < FEWEST_EACH * count) continue;
            double free = changes(log, frames, NONE, candidate, ignored);
            if (free < 0.2) continue;
            double given = changes(log, frames, candidate, candidate, ignored) / free;
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

    /**
     * Share of frames whose bytes outside {@code hidden} and {@code ignored} differ from those of the frame before on
     * the same page. A byte that steps by its usual amount counts as steady, for a page may count for itself.
     */
    private static double changes(FrameLog log, int[] frames, Pages pages, Pages hidden, long ignored) {
        long mask = ~ignored;
        if (hidden.width > 0) mask &= ~((1L << hidden.width) - 1 << 64 - hidden.first - hidden.width);
        int[][] steps = new int[8][256];
        Memory last = new Memory(pages);
        int pairs = 0;
        for (int frame : frames) {
            Integer before = last.put(log, frame);
            if (before == null) continue;
            pairs++;
            for (int at = 0; at < 8; at++) steps[at][step(log, before, frame, mask, at)]++;
        }
        if (pairs == 0) return 0;
        int[] usual = new int[8];
        for (int at = 0; at < 8; at++) {
            for (int k = 1; k < 256; k++) if (steps[at][k] > steps[at][usual[at]]) usual[at] = k;
        }
        last = new Memory(pages);
        int changed = 0;
        for (int frame : frames) {
            Integer before = last.put(log, frame);
            if (before == null) continue;
            boolean steady = true;
            for (int at = 0; at < 8 && steady; at++) {
                int step = step(log, before, frame, mask, at);
                steady = step == 0 || step == usual[at];
            }
            if (!steady) changed++;
        }
        return (double) changed / pairs;
    }

    private static int step(FrameLog log, int from, int to, long mask, int at) {
        int shift = 56 - 8 * at;
        int byteMask = (int) (mask >>> shift) & 0xFF;
        int a = (int) (log.dataWord(from) >>> shift) & byteMask;
        int b = (int) (log.dataWord(to) >>> shift) & byteMask;
        // A step within half a byte wraps there.
        boolean half = (a & 0xF0) == (b & 0xF0);
        return half ? b - a & 0x0F : b - a & 0xFF;
    }
}
