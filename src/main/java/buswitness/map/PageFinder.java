package buswitness.map;

import java.util.HashMap;
import java.util.Map;

/**
 * Searches for a number that says which of several sets of values a frame carries: against the frame before with the same
 * number the rest hardly changes, against the frame just before it does.
 */
final class PageFinder {
    private static final int MOST_PAGES = 32;
    private static final int FEWEST_ROWS_OF_PAGE = 4;
    private static final double TURNS = 0.3;
    private static final double CALMER = 0.8;
    private static final double SIGMAS = 6;
    private static final int FEWEST_FLIPS = 24;

    private final PayloadRows rows;
    private final BitFlips flips;

    /** @param calmer flips of the rest within a page, as a share of those from frame to frame */
    record Found(int firstBit, int width, double calmer, long[] numbers) {}

    PageFinder(PayloadRows rows, BitFlips flips) {
        this.rows = rows;
        this.flips = flips;
    }

    /**
     * @param without bits that follow from others, such as a check sum
     * @param counted for each bit the counter it belongs to, 0 for none: a counter that keeps step with a number, as one does
     *                with a check over it, makes no pages
     */
    Found find(boolean[] without, int[] counted) {
        Found best = null;
        for (int width : new int[] {4, 8}) {
            for (int first = 0; first + width <= rows.bits(); first += width) {
                Found found = at(first, width, without, counted);
                if (found == null) continue;
                // A wider number must be clearly better than the nibble in it.
                if (best == null || found.calmer < best.calmer * (width == 8 ? 0.9 : 1)) best = found;
            }
        }
        return best;
    }

    private Found at(int first, int width, boolean[] without, int[] counted) {
        int turned = 0;
        for (int b = first; b < first + width; b++) turned = Math.max(turned, flips.flips[b]);
        if (turned < 4) return null;
        Map<Long, Integer> count = new HashMap<>();
        int[] before = rows.before(-1, 0);
        int turns = 0;
        for (int i = 0; i < rows.size(); i++) {
            long v = rows.number(i, first, width);
            count.merge(v, 1, Integer::sum);
            if (count.size() > MOST_PAGES) return null;
            if (before[i] >= 0 && rows.number(before[i], first, width) != v) turns++;
        }
        if (count.size() < 2 || turns < TURNS * flips.transitions) return null;
        int rare = 0;
        for (int n : count.values()) if (n < FEWEST_ROWS_OF_PAGE) rare += n;
        if (rare > 0.05 * rows.size()) return null;
        BitFlips within = new BitFlips(rows, rows.before(first, width));
        double across = 0;
        double inside = 0;
        for (int b = 0; b < rows.bits(); b++) {
            if (without[b] || counted[b] > 0 || b >= first && b < first + width) continue;
            across += flips.flips[b];
            inside += within.rate(b) * flips.transitions;
        }
        if (across < FEWEST_FLIPS || inside > CALMER * across
                || across - inside < SIGMAS * Math.sqrt(across + inside)) return null;
        long[] numbers = count.keySet().stream().mapToLong(v -> v).sorted().toArray();
        return new Found(first, width, inside / across, numbers);
    }
}
