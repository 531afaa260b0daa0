package buswitness.instruments;

import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;

/**
 * A value that jumps because the layout forgot a page: another half byte of the payload takes turns, the value jumps
 * when and only when that half byte changes, and for each of its numbers the value runs on smoothly. That is what
 * "value is a function of the page number" means in figures. A status that goes with a broken reading looks the same,
 * so the finding can only be undecided.
 */
final class HiddenPage {
    private static final int MOST_PAGES = 16;
    private static final double NEARLY_ALL = 0.95;

    private HiddenPage() {}

    /** @return first bit of the half byte that behaves like a page number, or -1 */
    static int find(Message message, Signal signal, SignalSeries series, Jumps jumps, SenderChange.SameTrack track) {
        if (signal.page() != null || jumps.at.length == 0) return -1;
        for (int first = 0; first + 4 <= 64; first += 4) {
            boolean own = first < signal.firstBit() + signal.width() && signal.firstBit() < first + 4;
            if (!own && !isQuantity(message, first) && isPage(60 - first, series, jumps, track)) return first;
        }
        return -1;
    }

    /** Bits of a documented value with a unit, scale or sign, or of a single flag, are no page number. */
    private static boolean isQuantity(Message message, int first) {
        for (Signal s : message.carries()) {
            boolean plain = s.width() > 1 && s.unit().isEmpty() && s.factor() == 1 && s.offset() == 0 && !s.signed()
                    && Double.isNaN(s.changesAtMostPerSecond());
            if (!plain && first < s.firstBit() + s.width() && s.firstBit() < first + 4) return true;
        }
        return false;
    }

    private static boolean isPage(int shift, SignalSeries series, Jumps jumps, SenderChange.SameTrack track) {
        Set<Integer> pages = new HashSet<>();
        for (int k = 0; k < series.samples; k++) pages.add(page(series, k, shift));
        if (pages.size() < 2 || pages.size() > MOST_PAGES) return false;
        int atChange = 0;
        for (int k : jumps.at) if (page(series, k, shift) != page(series, k - 1, shift)) atChange++;
        if (atChange < NEARLY_ALL * jumps.at.length) return false;
        // Changes that jump nothing speak for a counter or a status beside the point.
        int changes = 0;
        for (int k = 1; k < series.samples; k++) {
            if (!series.fresh[k] && page(series, k, shift) != page(series, k - 1, shift)) changes++;
        }
        if (jumps.at.length < changes / 2) return false;
        Map<Integer, Integer> last = new HashMap<>();
        int judged = 0;
        int smooth = 0;
        for (int k = 0; k < series.samples; k++) {
            if (series.fresh[k]) last.clear();
            Integer before = last.put(page(series, k, shift), k);
            if (before == null) continue;
            judged++;
            if (track.fits(before, k)) smooth++;
        }
        return judged > 0 && smooth >= NEARLY_ALL * judged;
    }

    private static int page(SignalSeries series, int sample, int shift) {
        return (int) (series.word[sample] >>> shift) & 0xF;
    }
}
