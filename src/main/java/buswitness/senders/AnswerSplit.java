package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * Frames of a message that a master asks for (LIN): its times are the master's, so who answered shows in the bits alone.
 * Slaves' bit lengths differ by percents; where those of one message fall into two heaps clearly apart, the heaps are two
 * trains. One node whose clock steps between two dividers leaves two heaps as well: what the heaps mean is
 * for {@code clashes} to say.
 */
final class AnswerSplit {
    private static final int FEWEST = 6;
    /** Two halves of one normal heap lie 1.9 of their joint spreads apart, of an even one 2.5. */
    private static final double CLEARLY_APART = 4;
    private static final double APART_IN_ERRORS = 4;
    /** Errors of the sharper frames: where two nodes begin an answer together its bits are blurred. */
    private static final double SHARP_FRAMES = 0.25;
    private static final double LEAST_APART_PPM = 300;
    private static final double UNSURE_SHARE = 0.15;
    private static final int FEWEST_TURNS = 4;
    /** Of the turns that two nodes take whose answers follow in no order. */
    private static final double TURNS_SHARE = 0.25;
    private static final float SURE = 0.99f;

    /** By frame: 0 or 1, or -1 where its bits do not tell. */
    final int[] heap;
    final float[] confidence;

    private AnswerSplit(int[] heap, float[] confidence) {
        this.heap = heap;
        this.confidence = confidence;
    }

    /** Null where all bits are of one length, within what can be seen. */
    static AnswerSplit of(MessageFrames frames, FrameLog log) {
        double[] ppm = new double[frames.count];
        double[] error = new double[frames.count];
        int n = 0;
        for (int i = 0; i < frames.count; i++) {
            int f = frames.frame[i];
            if (Float.isNaN(log.bitPpm(f)) || !(log.bitPpmError(f) > 0)) continue;
            ppm[n] = log.bitPpm(f);
            error[n++] = log.bitPpmError(f);
        }
        if (n < 2 * FEWEST) return null;
        double[] sorted = Arrays.copyOf(ppm, n);
        Arrays.sort(sorted);
        int cut = cut(sorted);
        double[] low = Arrays.copyOf(sorted, cut);
        double[] high = Arrays.copyOfRange(sorted, cut, n);
        double lower = Robust.median(low);
        double upper = Robust.median(high);
        double apart = (upper - lower) / Math.hypot(Robust.spread(low), Robust.spread(high));
        boolean clear = upper - lower > LEAST_APART_PPM && apart > CLEARLY_APART
                && upper - lower > APART_IN_ERRORS * Robust.quantile(Arrays.copyOf(error, n), SHARP_FRAMES);
        AnswerSplit split = clear ? divide(frames, log, lower, upper) : null;
        return split != null && split.takesTurns() ? split : null;
    }

    /** Two nodes answer now the one, now the other; one clock that wanders leaves a heap and hardly comes back. */
    private boolean takesTurns() {
        int[] of = new int[2];
        int turns = 0;
        int last = -1;
        for (int h : heap) {
            if (h < 0) continue;
            of[h]++;
            if (last >= 0 && h != last) turns++;
            last = h;
        }
        double expected = 2.0 * of[0] * of[1] / Math.max(1, of[0] + of[1]);
        return turns >= Math.max(FEWEST_TURNS, TURNS_SHARE * expected);
    }

    /** Where the scatter within both parts is smallest (Otsu 1979). */
    private static int cut(double[] sorted) {
        int n = sorted.length;
        double total = 0;
        for (double x : sorted) total += x;
        int best = FEWEST;
        double most = -1;
        double sum = 0;
        for (int i = 1; i <= n - FEWEST; i++) {
            sum += sorted[i - 1];
            if (i < FEWEST) continue;
            double between = sum / i - (total - sum) / (n - i);
            double score = between * between * i * (n - i);
            if (score <= most) continue;
            most = score;
            best = i;
        }
        return best;
    }

    /** The heap with the earlier first frame is the first. */
    private static AnswerSplit divide(MessageFrames frames, FrameLog log, double lower, double upper) {
        int[] heap = new int[frames.count];
        float[] confidence = new float[frames.count];
        double middle = (lower + upper) / 2;
        double unsure = UNSURE_SHARE * (upper - lower);
        int first = -1;
        for (int i = 0; i < frames.count; i++) {
            double ppm = log.bitPpm(frames.frame[i]);
            heap[i] = -1;
            if (Double.isNaN(ppm) || Math.abs(ppm - middle) < unsure) continue;
            int side = ppm < middle ? 0 : 1;
            if (first < 0) first = side;
            heap[i] = side == first ? 0 : 1;
            confidence[i] = SURE;
        }
        return new AnswerSplit(heap, confidence);
    }
}
