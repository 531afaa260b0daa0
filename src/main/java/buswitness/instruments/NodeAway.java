package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.MessageFinding;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import java.util.ArrayList;
import java.util.List;

/**
 * Whether a message's node was away as a whole: its faster messages stayed out together with it. Which messages those
 * are the layout says where it names one node for the message; else they are those tied to the same sender.
 */
final class NodeAway {
    /** A sibling must have been due this often in the pause before its absence says anything. */
    private static final double LEAST_DUE = 3;
    /** Spacings that a sibling must have stayed out; one late frame is ordinary. */
    private static final double LEAST_SPACINGS = 3;

    private final FrameLog log;
    private final List<Long> siblings;
    private final double[] spacing;

    NodeAway(Layout layout, Message message, FrameLog log, ClashFindings clashes, double endSeconds) {
        this.log = log;
        siblings = siblings(layout, message, clashes);
        int[] count = new int[siblings.size()];
        for (int i = 0; i < log.size(); i++) {
            int s = siblings.indexOf(log.key(i));
            if (s >= 0 && log.isWhole(i)) count[s]++;
        }
        spacing = new double[count.length];
        for (int s = 0; s < count.length; s++) spacing[s] = endSeconds / Math.max(1, count[s]);
    }

    private static List<Long> siblings(Layout layout, Message message, ClashFindings clashes) {
        long own = MessageKey.of(message);
        List<Long> keys = new ArrayList<>();
        if (message.from().size() == 1) {
            for (Message m : layout.messages()) {
                if (m.from().equals(message.from()) && MessageKey.of(m) != own) keys.add(MessageKey.of(m));
            }
        }
        MessageFinding finding = clashes.message(own);
        if (keys.isEmpty() && finding != null && finding.senders().size() == 1) {
            for (long key : clashes.senders().get(finding.senders().get(0)).keys()) if (key != own) keys.add(key);
        }
        return keys;
    }

    /**
     * @return true where at least one sibling was due {@value #LEAST_DUE} times or more between the two times and every
     *         such sibling had a pause of {@value #LEAST_SPACINGS} of its spacings that reaches into the stretch
     */
    boolean between(double fromSeconds, double untilSeconds) {
        int away = 0;
        for (int s = 0; s < spacing.length; s++) {
            if ((untilSeconds - fromSeconds) / spacing[s] < LEAST_DUE) continue;
            if (longestPause(siblings.get(s), fromSeconds, untilSeconds) < LEAST_SPACINGS * spacing[s]) return false;
            away++;
        }
        return away > 0;
    }

    private double longestPause(long key, double from, double until) {
        double longest = 0;
        double last = from;
        for (int i = Silences.firstAt(log, from); i < log.size() && log.startSeconds(i) < until; i++) {
            if (log.key(i) != key || !log.isWhole(i)) continue;
            longest = Math.max(longest, log.startSeconds(i) - last);
            last = log.startSeconds(i);
        }
        return Math.max(longest, until - last);
    }
}
