package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Whether a counter in the payload runs on as ONE chain through the frames of both trains, or as TWO that take no
 * notice of each other. One chain may also stand still at the frames of one train, as where a node repeats its last
 * frame. On pages each page may count for itself. Two chains are two counters; one node with two buffers has two as
 * well.
 *
 * @param first    first bit of the counter in the payload
 * @param width    bits
 * @param name     where the layout names it, else null
 * @param step     of the larger train from frame to frame
 * @param breaksOne steps that the best single chain does not explain, of {@code ofOne}
 * @param breaksTwo steps that two chains do not explain, of {@code ofTwo}
 * @param ratioLog10 log10 of the likelihood ratio two chains : one chain, fields tried taken off
 */
record Counters(int first, int width, String name, int step, int breaksOne, int ofOne, int breaksTwo, int ofTwo,
                double ratioLog10) {
    private static final double CHAIN_SHARE = 0.9;
    private static final int FEWEST = 8;
    private static final int WIDEST = 12;

    private record Field(int first, int width, String name) {
        int value(long word) {
            return (int) (word >>> 64 - first - width) & (1 << width) - 1;
        }

        boolean overlaps(long mask) {
            return (((1L << width) - 1 << 64 - first - width) & mask) != 0;
        }
    }

    /**
     * The field that counts best in the larger train.
     *
     * @param ignored    bits that are known to be something else
     * @param documented layout of the message, or null
     * @return null where no field counts in the larger train
     */
    static Counters compare(FrameLog log, int[] large, int[] small, Pages pages, long ignored, Message documented) {
        if (large.length < FEWEST || small.length < FEWEST / 2) return null;
        List<Field> fields = fields(documented);
        Counters best = null;
        for (Field field : fields) {
            if (field.overlaps(ignored)) continue;
            Counters c = new Chains(log, pages, field, large, small).compare(fields.size());
            if (c == null) continue;
            boolean clearer = best == null || c.breaksTwo * (long) best.ofTwo < best.breaksTwo * (long) c.ofTwo
                    || c.name != null && best.name == null;
            if (clearer) best = c;
        }
        return best;
    }

    /** Half bytes and bytes, and whatever the layout knows. */
    private static List<Field> fields(Message documented) {
        List<Field> fields = new ArrayList<>();
        if (documented != null) {
            for (Signal s : documented.carries()) {
                boolean plain = s.firstBit() + s.width() <= 64 && !s.signed() && (!s.lowByteFirst() || s.width() <= 8);
                if (plain && s.width() >= 2 && s.width() <= WIDEST) {
                    fields.add(new Field(s.firstBit(), s.width(), s.name()));
                }
            }
        }
        for (int width = 4; width <= 8; width += 4) {
            for (int first = 0; first < 64; first += width) fields.add(new Field(first, width, null));
        }
        return fields;
    }

    /** The steps of one field. */
    private static final class Chains {
        private final FrameLog log;
        private final Pages pages;
        private final Field field;
        private final int size;
        private final int[] large;
        private final int[] small;

        Chains(FrameLog log, Pages pages, Field field, int[] large, int[] small) {
            this.log = log;
            this.pages = pages;
            this.field = field;
            this.size = 1 << field.width;
            this.large = large;
            this.small = small;
        }

        Counters compare(int tried) {
            int[] own = steps(large);
            int step = mode(own, 1);
            int all = sum(own);
            if (step == 0 || step * 2 == size || all < FEWEST - 1 || own[step] < CHAIN_SHARE * all) return null;
            int[] other = steps(small);
            int of = sum(other);
            int kept = of == 0 ? 0 : other[mode(other, 0)];
            double two = likelihood(all - own[step], all) + likelihood(of - kept, of);
            // Between the trains: [from large to small, from small to large, from small to small][step].
            int[][] across = across();
            int[] merged = new int[size];
            for (int[] a : across) for (int s = 0; s < size; s++) merged[s] += a[s];
            int ofOne = sum(merged);
            int breaksOne = ofOne;
            for (int s : new int[] {step, mode(merged, 1)}) {
                breaksOne = Math.min(breaksOne, ofOne - explained(across, s));
            }
            double one = likelihood(breaksOne, ofOne);
            int breaksTwo = all - own[step] + of - kept;
            return new Counters(field.first, field.width, field.name, step, breaksOne, ofOne, breaksTwo, all + of,
                    two - one - Math.log10(tried));
        }

        /** log10: a step is right but for a share that is learned, and a wrong one may be any other. */
        private double likelihood(int breaks, int of) {
            if (of == 0) return 0;
            double wrong = (breaks + 1.0) / (of + 2.0);
            return (of - breaks) * Math.log10(1 - wrong) + breaks * Math.log10(wrong / (size - 1)) - Math.log10(size);
        }

        /** Steps that one program explains: it counts at every frame, or repeats itself at those of one train. */
        private int explained(int[][] across, int s) {
            int within = across[3][s];
            int counts = across[0][s] + across[1][s] + across[2][s];
            int smallRepeats = across[0][0] + across[1][s] + across[2][0];
            int largeRepeats = across[0][s] + across[1][0] + across[2][s];
            return within + Math.max(counts, Math.max(smallRepeats, largeRepeats));
        }

        private int[] steps(int[] frames) {
            int[] steps = new int[size];
            Pages.Memory last = new Pages.Memory(pages);
            for (int frame : frames) {
                Integer before = last.put(log, frame);
                if (before != null) steps[step(before, frame)]++;
            }
            return steps;
        }

        private int step(int from, int to) {
            return field.value(log.dataWord(to)) - field.value(log.dataWord(from)) & size - 1;
        }

        private int[][] across() {
            int[][] across = new int[4][size];
            Pages.Memory last = new Pages.Memory(pages);
            Map<Integer, Boolean> lastSmall = new HashMap<>();
            int i = 0;
            int j = 0;
            while (i < large.length || j < small.length) {
                boolean isSmall = i == large.length || j < small.length && small[j] < large[i];
                int frame = isSmall ? small[j++] : large[i++];
                Integer before = last.put(log, frame);
                Boolean was = lastSmall.put(pages.page(log, frame), isSmall);
                if (before == null) continue;
                across[was ? isSmall ? 2 : 1 : isSmall ? 0 : 3][step(before, frame)]++;
            }
            return across;
        }

        private static int mode(int[] steps, int from) {
            int mode = from;
            for (int s = from; s < steps.length; s++) if (steps[s] > steps[mode]) mode = s;
            return mode;
        }

        private static int sum(int[] steps) {
            int sum = 0;
            for (int s : steps) sum += s;
            return sum;
        }
    }

    /** For two chains, as far as it is believed: half, for neighbours are not independent. */
    double strength() {
        return Math.max(0, Math.min(Strength.MOST, 0.5 * ratioLog10));
    }

    /** Figures for both readings. */
    String says() {
        String what = name != null ? Say.text("the counter \"%s\"", name)
                : Say.text("a counter in bits %d to %d of the payload", first, first + width - 1);
        String figures = Say.text("%s steps by %d: two chains break %d of %d times, one chain %d of %d", what, step,
                breaksTwo, ofTwo, breaksOne, ofOne);
        return figures + (Math.abs(ratioLog10) < 1 ? "" : Say.text(" (likelihood ratio 1e%+.0f %s)",
                Math.min(300, Math.abs(ratioLog10)), ratioLog10 > 0 ? "for two" : "for one"));
    }
}
