package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;

/**
 * Whether the frames of two trains, taken together in order, are the work of one program: a counter that goes on from
 * the one to the other without regard to the train, or a cycle that only ever repeats what was last sent on a change.
 * Two senders do neither: each counts for itself and says its own. Looks only at frames that follow one which is not
 * of their own train.
 */
final class Continuity {
    private static final int FEWEST = 10;
    /** A counter that wraps at other than a power of two steps oddly there: 14 of 15 steps are regular. */
    private static final double ONE_CHAIN = 0.85;
    private static final double REPEATS = 0.9;
    private static final double CHANGES = 0.5;

    private final FrameLog log;
    /** For each train {@code before, frame}, where the frame before it in the message is not of the train. */
    private final int[][] pairs = new int[2][];
    private final int[] count = new int[2];

    private Continuity(MessageView view, int[] first, int[] second) {
        this.log = view.log;
        collect(view, first, 0);
        collect(view, second, 1);
    }

    private void collect(MessageView view, int[] frames, int train) {
        pairs[train] = new int[2 * frames.length];
        int k = 0;
        for (int i = 0; i < view.wholeCount && k < frames.length; i++) {
            if (view.whole[i] != frames[k]) continue;
            boolean follows = i > 0 && (k == 0 || view.whole[i - 1] != frames[k - 1]);
            if (follows) {
                pairs[train][2 * count[train]] = view.whole[i - 1];
                pairs[train][2 * count[train]++ + 1] = frames[k];
            }
            k++;
        }
    }

    /** Evidence for one source, or null where the payloads do not show it. */
    static Evidence of(MessageView view, Track a, Track b, int[] framesA, int[] framesB) {
        Continuity c = new Continuity(view, framesA, framesB);
        if (c.count[0] + c.count[1] < FEWEST) return null;
        double from = Math.max(a.fromSeconds(), b.fromSeconds());
        double until = Math.min(a.untilSeconds(), b.untilSeconds());
        int frames = c.count[0] + c.count[1];
        if (c.oneCounter()) {
            return new Evidence(Kind.PAYLOAD, Say.text("One counter goes on through the frames of both trains (%d"
                    + " changes of train): one source.", frames), -4, from, until, frames, false);
        }
        double first = c.repeats(0);
        double second = c.repeats(1);
        if (Math.min(c.count[0], c.count[1]) < FEWEST / 2) return null;
        if (Math.max(first, second) < REPEATS || Math.min(first, second) > CHANGES) return null;
        return new Evidence(Kind.PAYLOAD, Say.text("The frames of one train only repeat what the other said last (%.0f"
                + " %% of them), and those of the other bring the changes: one node that sends on a change and in a"
                + " cycle.", 100 * Math.max(first, second)), -3, from, until, frames, false);
    }

    /** Whether some half byte or byte steps alike from train to train. */
    private boolean oneCounter() {
        for (int width = 4; width <= 8; width += 4) {
            for (int at = 0; at < 64; at += width) {
                int[] steps = new int[1 << width];
                int all = 0;
                for (int train = 0; train < 2; train++) {
                    for (int k = 0; k < count[train]; k++) {
                        int step = field(pairs[train][2 * k + 1], at, width) - field(pairs[train][2 * k], at, width);
                        steps[step & steps.length - 1]++;
                        all++;
                    }
                }
                for (int step = 1; step < steps.length; step++) {
                    if (step != steps.length / 2 && steps[step] >= ONE_CHAIN * all) return true;
                }
            }
        }
        return false;
    }

    private int field(int frame, int at, int width) {
        return (int) (log.dataWord(frame) >>> 64 - at - width) & (1 << width) - 1;
    }

    /** Share of a train's frames that carry what the frame before them did. */
    private double repeats(int train) {
        int same = 0;
        for (int k = 0; k < count[train]; k++) {
            int before = pairs[train][2 * k];
            int frame = pairs[train][2 * k + 1];
            if (log.dataWord(before) == log.dataWord(frame) && log.dataLength(before) == log.dataLength(frame)) same++;
        }
        return (double) same / Math.max(1, count[train]);
    }
}
