package buswitness.senders;

import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;

/**
 * Groups the tracks of a bus whose master asks (LIN) by the length of their bits: there the schedules all run on the
 * master's clock, and slaves' bit lengths lie hundreds of ppm apart.
 */
final class WireGroups {
    private static final int FEWEST = 6;
    /** Bit lengths of one node measured over different messages agree within this, tick and payload included. */
    private static final double SAME_PPM = 40;
    private static final double SAME_ERRORS = 4;
    private static final double SHARP_PPM = 60;

    private WireGroups() {}

    private record Mean(Track track, double ppm, double error) {}

    static SenderFindings of(List<Track> tracks, List<MessageTiming> timings, int[] trackOf, float[] confidence,
                             FrameLog log, Map<Long, Shared> shared) {
        List<Mean> means = new ArrayList<>();
        for (Track track : tracks) {
            Mean mean = mean(track, trackOf, log);
            // Two nodes that answer at once blur each other's bits: such a length names nobody.
            if (mean != null && mean.error < SHARP_PPM) means.add(mean);
        }
        means.sort(Comparator.comparingDouble(Mean::ppm).thenComparingInt(m -> m.track().index()));
        List<List<Mean>> groups = new ArrayList<>();
        for (Mean mean : means) {
            List<Mean> last = groups.isEmpty() ? null : groups.get(groups.size() - 1);
            boolean joins = last != null && last.stream().allMatch(m -> mean.ppm - m.ppm
                    < SAME_PPM + SAME_ERRORS * Math.hypot(mean.error, m.error) && m.track.key() != mean.track.key());
            if (!joins) groups.add(last = new ArrayList<>());
            last.add(mean);
        }
        groups.sort(Comparator.comparingInt(g -> g.stream().mapToInt(m -> m.track.index()).min().orElse(0)));
        List<Track> grouped = new ArrayList<>(tracks);
        List<ClockGroup> clocks = new ArrayList<>();
        for (List<Mean> group : groups) {
            double weights = 0;
            double sum = 0;
            List<Integer> members = new ArrayList<>();
            for (Mean m : group) {
                weights += 1 / (m.error * m.error);
                sum += m.ppm / (m.error * m.error);
                members.add(m.track.index());
                grouped.set(m.track.index(), inGroup(m.track, clocks.size()));
            }
            members.sort(null);
            clocks.add(new ClockGroup(clocks.size(), sum / weights, Math.sqrt(1 / weights), members));
        }
        return new SenderFindings(grouped, clocks, timings, trackOf, confidence, shared);
    }

    private static Track inGroup(Track t, int group) {
        return new Track(t.index(), t.key(), t.cyclic(), t.periodSeconds(), t.periodErrorSeconds(), t.nominalSeconds(),
                t.anchorSeconds(), t.jitterSeconds(), t.frames(), t.freeStarts(), t.fromSeconds(), t.untilSeconds(),
                t.restarts(), group);
    }

    private static Mean mean(Track track, int[] trackOf, FrameLog log) {
        double weights = 0;
        double sum = 0;
        double squares = 0;
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            if (trackOf[i] != track.index() || Float.isNaN(log.bitPpm(i)) || !(log.bitPpmError(i) > 0)) continue;
            double weight = 1 / (log.bitPpmError(i) * log.bitPpmError(i));
            weights += weight;
            sum += weight * log.bitPpm(i);
            squares += weight * log.bitPpm(i) * log.bitPpm(i);
            n++;
        }
        if (n < FEWEST) return null;
        double scatter = Math.max(1, (squares - sum * sum / weights) / (n - 1));
        return new Mean(track, sum / weights, Math.sqrt(scatter / weights));
    }
}
