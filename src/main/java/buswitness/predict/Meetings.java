package buswitness.predict;

import java.util.ArrayList;
import java.util.List;

/** When two schedules of one message meet, and what then happens. */
final class Meetings {
    /** Periods in a ratio of whole numbers up to this have a common rhythm. */
    private static final int LARGEST_RATIO = 20;
    private static final double SAME_RATIO = 1e-3;
    /** Fault confinement, ISO 11898-1: error passive above 127, bus-off above 255. */
    private static final int ERROR_PASSIVE = 128;

    private Meetings() {}

    /**
     * @param ordinary drives with any start phases, by seed from {@code seed} on
     * @param arranged drives whose phases let the schedules of one message meet
     */
    static List<MeetingOutlook> of(SharedBus bus, long seed, List<Drive> ordinary, List<Drive> arranged) {
        List<MeetingOutlook> out = new ArrayList<>();
        for (long key : bus.clashing()) out.add(outlook(bus, key, seed, ordinary, arranged));
        return out;
    }

    private static MeetingOutlook outlook(SharedBus bus, long key, long seed, List<Drive> ordinary, List<Drive> arranged) {
        List<Stream> senders = bus.senders(key);
        List<MeetingOutlook.Pair> pairs = new ArrayList<>();
        for (int i = 0; i < senders.size(); i++) {
            for (int j = i + 1; j < senders.size(); j++) pairs.add(pair(bus, senders.get(i), senders.get(j), seed, ordinary.size()));
        }
        List<Drive> made = arranged.stream().filter(d -> d.meet().key() == key && !d.meet().exact()).toList();
        int broken = (int) made.stream().filter(d -> d.log().meetings(key) > 0).count();
        List<Drive> headOn = arranged.stream().filter(d -> d.meet().key() == key && d.meet().exact()
                && d.log().meetings(key) > 0).toList();
        List<String> nodes = senders.stream().map(Stream::node).distinct().toList();
        List<MeetingOutlook.Fate> fates = new ArrayList<>();
        for (String node : nodes) fates.add(fate(bus, node, headOn));
        return new MeetingOutlook(key, nodes, pairs,
                (int) ordinary.stream().filter(d -> d.log().meetings(key) > 0).count(), ordinary.size(),
                broken, made.size(), headOn.size(),
                Spread.of(headOn.stream().mapToDouble(d -> d.log().damaged(key)).toArray()),
                Spread.of(headOn.stream().mapToDouble(d -> d.log().longestSilence(key, d.seconds())).toArray()), fates);
    }

    private static MeetingOutlook.Pair pair(SharedBus bus, Stream a, Stream b, long seed, int drives) {
        double rhythm = rhythm(a.message().everySeconds(), b.message().everySeconds());
        double[] every = new double[drives];
        for (int i = 0; i < every.length; i++) {
            double drift = Math.abs(DriveSetup.clockPpm(bus, a.node(), seed + i)
                    - DriveSetup.clockPpm(bus, b.node(), seed + i)) * 1e-6;
            every[i] = drift > 0 ? rhythm / drift : Double.NaN;
        }
        double fastest = (Nodes.clockWithinPpm(bus, a.node()) + Nodes.clockWithinPpm(bus, b.node())) * 1e-6;
        return new MeetingOutlook.Pair(a.node(), b.node(), rhythm, Spread.of(every), rhythm / fastest);
    }

    private static MeetingOutlook.Fate fate(SharedBus bus, String node, List<Drive> drives) {
        int index = Segment.whole(bus).nodes().indexOf(node);
        double[] counters = drives.stream().mapToDouble(d -> d.log().mostErrors(index)).toArray();
        int passive = 0;
        int off = 0;
        for (Drive d : drives) {
            if (d.log().mostErrors(index) >= ERROR_PASSIVE) passive++;
            if (d.log().busOffs(index) > 0) off++;
        }
        return new MeetingOutlook.Fate(node, Spread.of(counters), passive, off);
    }

    /**
     * Two timers with periods p g and q g, p and q whole and without common divisor, find the same difference of phase
     * again after each drift by g (the differences k p g - l q g are the multiples of g).
     */
    static double rhythm(double a, double b) {
        for (int p = 1; p <= LARGEST_RATIO; p++) {
            double q = b / a * p;
            long whole = Math.round(q);
            if (whole >= 1 && whole <= LARGEST_RATIO && Math.abs(q / whole - 1) < SAME_RATIO) return a / p;
        }
        return Double.NaN;
    }
}
