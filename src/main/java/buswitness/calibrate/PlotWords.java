package buswitness.calibrate;

import java.util.Locale;

/** Short words and figures for the pictures. */
final class PlotWords {
    private PlotWords() {}

    static String cut(String words, int most) {
        return words.length() <= most ? words : words.substring(0, most - 2).strip() + " ..";
    }

    /** Fine enough that a share that is not nought does not read as nought. */
    static String percent(long hits, long of) {
        double share = 100.0 * hits / of;
        boolean fine = hits > 0 && (share < 0.1 || share > 99.9 && hits < of);
        return String.format(Locale.ROOT, fine ? "%.3f %%" : "%.2f %%", share);
    }
}
