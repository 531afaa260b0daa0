package buswitness.map;

import buswitness.frames.FrameLog;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/** Which message goes out because another did: its events follow the other's frames sooner than chance allows. */
final class Answers {
    private static final double[] WINDOWS = {0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2};
    private static final double LARGEST_LOG_CHANCE = -6;
    private static final double FOLLOWS = 0.5;
    private static final int FEWEST = 6;

    private Answers() {}

    static List<Answer> find(Traffic traffic, List<MapMessage> messages) {
        List<Answer> found = new ArrayList<>();
        double tries = Math.log10(Math.max(1, (double) messages.size() * messages.size() * 2 * WINDOWS.length));
        for (MapMessage b : messages) {
            if (b.sending() == Sending.CYCLIC) continue;
            int[] events = events(traffic, b);
            if (events.length < FEWEST) continue;
            Answer best = null;
            for (MapMessage a : messages) {
                for (int remote = 0; remote < 2; remote++) {
                    boolean same = a.key() == b.key();
                    if (remote == 0 && (same || together(a, b))) continue;
                    Answer answer = pair(traffic, a, remote == 1, b, events, tries);
                    if (answer != null && (best == null || answer.logChance() < best.logChance())) best = answer;
                }
            }
            if (best != null) found.add(best);
        }
        found.sort(Comparator.comparingDouble(Answer::logChance));
        return found;
    }

    /** One node sends both in one go: no answer. */
    private static boolean together(MapMessage a, MapMessage b) {
        return a.senders().size() == 1 && a.senders().equals(b.senders());
    }

    private static int[] events(Traffic traffic, MapMessage b) {
        MessageFacts facts = traffic.messages.get(b.key());
        if (facts == null) return new int[0];
        if (b.rhythms().isEmpty()) return facts.frames;
        return Arrays.stream(facts.frames).filter(f -> {
            int track = traffic.findings.senders().trackOf(f);
            return track >= 0 && !traffic.findings.senders().tracks().get(track).cyclic();
        }).toArray();
    }

    private static Answer pair(Traffic traffic, MapMessage a, boolean remote, MapMessage b, int[] events, double tries) {
        FrameLog log = traffic.findings.frames();
        double[] ends = ends(traffic, a, remote);
        if (ends.length < FEWEST) return null;
        double[] delays = new double[events.length];
        int n = 0;
        for (int f : events) {
            int at = Arrays.binarySearch(ends, log.startSeconds(f));
            int last = at >= 0 ? at : -at - 2;
            delays[n++] = last < 0 ? Double.POSITIVE_INFINITY : log.startSeconds(f) - ends[last];
        }
        double[] sorted = delays.clone();
        Arrays.sort(sorted);
        Answer best = null;
        for (double window : WINDOWS) {
            int hits = 0;
            while (hits < n && sorted[hits] <= window) hits++;
            if (hits < FOLLOWS * n) continue;
            double logChance = Math.min(0, Chance.atLeast(hits, n, covered(ends, window, traffic.seconds())) + tries);
            if (logChance > LARGEST_LOG_CHANCE || best != null && best.logChance() <= logChance) continue;
            double[] close = Arrays.copyOf(sorted, hits);
            double median = Robust.median(close);
            best = new Answer(a.key(), b.key(), remote, median, Robust.spread(close, hits, median), hits, n,
                    Math.min(1, (double) hits / ends.length), logChance);
        }
        return best;
    }

    private static double[] ends(Traffic traffic, MapMessage a, boolean remote) {
        FrameLog log = traffic.findings.frames();
        if (!remote) {
            MessageFacts facts = traffic.messages.get(a.key());
            return facts == null ? new double[0] : Arrays.stream(facts.frames).mapToDouble(f -> log.endPicos(f) * 1e-12).toArray();
        }
        if (a.remote() == 0) return new double[0];
        double[] ends = new double[log.size()];
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i) && log.isRemote(i) && log.key(i) == a.key()) ends[n++] = log.endPicos(i) * 1e-12;
        }
        return Arrays.copyOf(ends, n);
    }

    /** Share of the recording that lies within {@code window} after one of these. */
    private static double covered(double[] ends, double window, double seconds) {
        double sum = 0;
        for (int i = 0; i < ends.length; i++) {
            double next = i + 1 < ends.length ? ends[i + 1] : seconds;
            sum += Math.max(0, Math.min(window, next - ends[i]));
        }
        return Math.min(1, sum / seconds);
    }
}
