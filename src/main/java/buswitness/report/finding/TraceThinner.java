package buswitness.report.finding;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;

/**
 * Makes a long series short for drawing without hiding a reversal. Inside the detail windows every sample stays.
 * Outside, each bin keeps its first, last, smallest and largest sample and every turning point; a bin that turns more
 * often than {@link #MOST_TURNS} becomes a band that says its smallest, its largest and how often it turned.
 */
final class TraceThinner {
    static final int MOST_TURNS = 6;

    /**
     * Many turns drawn as one block.
     *
     * @param first index of its first sample
     * @param last  index of its last sample
     * @param low   smallest value within
     * @param high  largest value within
     * @param turns turning points within
     */
    record Band(int first, int last, float low, float high, int turns) {}

    /** Samples kept, ascending, and the bands between them. A band's first and last sample are kept too. */
    record Thin(int[] kept, List<Band> bands) {}

    private final double[] at;
    private final float[] values;
    private final BitSet turns;
    private final BitSet keep = new BitSet();
    private final List<Band> bands = new ArrayList<>();

    private TraceThinner(double[] at, float[] values) {
        this.at = at;
        this.values = values;
        turns = turns(values);
    }

    /**
     * @param at     seconds, ascending
     * @param values parallel to {@code at}; NaN means no value
     * @param bins   even bins over {@code 0..duration}
     */
    static Thin thin(double[] at, float[] values, DetailPlan plan, double duration, int bins) {
        return new TraceThinner(at, values).run(plan, duration, bins);
    }

    private Thin run(DetailPlan plan, double duration, int bins) {
        int n = at.length;
        int i = 0;
        while (i < n) {
            boolean full = plan.covers(at[i]);
            int bin = bin(at[i], duration, bins);
            int end = i + 1;
            while (end < n && plan.covers(at[end]) == full && (full || bin(at[end], duration, bins) == bin)) end++;
            if (full) keep.set(i, end);
            else thinBin(i, end - 1);
            i = end;
        }
        return new Thin(keep.stream().toArray(), bands);
    }

    private static int bin(double at, double duration, int bins) {
        return Math.max(0, Math.min(bins - 1, (int) (at / duration * bins)));
    }

    private void thinBin(int first, int last) {
        keep.set(first);
        keep.set(last);
        int low = -1;
        int high = -1;
        for (int k = first; k <= last; k++) {
            if (Float.isNaN(values[k])) continue;
            if (low < 0 || values[k] < values[low]) low = k;
            if (high < 0 || values[k] > values[high]) high = k;
        }
        int within = turns.get(first, last + 1).cardinality();
        if (within > MOST_TURNS) {
            bands.add(new Band(first, last, low < 0 ? Float.NaN : values[low], high < 0 ? Float.NaN : values[high],
                    within));
            return;
        }
        if (low >= 0) {
            keep.set(low);
            keep.set(high);
        }
        for (int k = turns.nextSetBit(first); k >= 0 && k <= last; k = turns.nextSetBit(k + 1)) keep.set(k);
    }

    /**
     * Turning points: the last sample before the direction changes, plateaus changing nothing; and the first of missing
     * values, for a drop-out turns a needle as surely as a value does.
     */
    static BitSet turns(float[] values) {
        BitSet out = new BitSet(values.length);
        int direction = 0;
        int before = -1;
        for (int i = 0; i < values.length; i++) {
            if (Float.isNaN(values[i])) {
                if (i > 0 && !Float.isNaN(values[i - 1])) out.set(i);
                continue;
            }
            if (before >= 0 && values[i] != values[before]) {
                int now = values[i] > values[before] ? 1 : -1;
                if (direction == -now) out.set(before);
                direction = now;
            }
            before = i;
        }
        return out;
    }
}
