package buswitness.senders;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Groups trains whose clocks agree. Trains join in order of their clock's error, sharpest first; a train joins the one
 * group whose every member it agrees with, and stays alone in its doubt (no group) where it agrees with several. A group
 * is a clock, not a node: two nodes whose clocks happen to agree within the errors are one group.
 */
final class ClockGroups {
    private static final double AGREE = 3;
    /** A clock known no better than this names nobody. */
    private static final double WORST_PPM = 200;

    /** A train with a nominal period. */
    record Entry(MessageFrames frames, Train train, double nominal, double ppm, double ppmError) {}

    final int[] groupOf;
    final List<double[]> clocks = new ArrayList<>();

    /** @param entries null where a track has no clock to compare */
    ClockGroups(List<Entry> entries) {
        int n = entries.size();
        groupOf = new int[n];
        Arrays.fill(groupOf, -1);
        Integer[] order = new Integer[n];
        for (int i = 0; i < n; i++) order[i] = i;
        Arrays.sort(order, (a, b) -> Double.compare(error(entries.get(a)), error(entries.get(b))));
        List<List<Integer>> groups = new ArrayList<>();
        for (int i : order) {
            Entry e = entries.get(i);
            if (e == null || !(e.ppmError < WORST_PPM)) continue;
            int fits = -1;
            int several = 0;
            for (int g = 0; g < groups.size(); g++) {
                boolean all = true;
                for (int other : groups.get(g)) {
                    all = agree(entries.get(other), e);
                    if (!all) break;
                }
                if (!all) continue;
                several++;
                fits = g;
            }
            if (several > 1) continue;
            if (several == 0) {
                groups.add(new ArrayList<>());
                fits = groups.size() - 1;
            }
            groups.get(fits).add(i);
        }
        number(entries, groups);
    }

    private void number(List<Entry> entries, List<List<Integer>> groups) {
        groups.forEach(g -> g.sort(null));
        groups.sort((a, b) -> Integer.compare(a.get(0), b.get(0)));
        for (int g = 0; g < groups.size(); g++) {
            double sum = 0;
            double weights = 0;
            for (int i : groups.get(g)) {
                groupOf[i] = g;
                Entry e = entries.get(i);
                double w = 1 / (e.ppmError * e.ppmError);
                sum += w * e.ppm;
                weights += w;
            }
            clocks.add(new double[] {sum / weights, Math.sqrt(1 / weights)});
        }
    }

    private static double error(Entry e) {
        return e == null || Double.isNaN(e.ppmError) ? Double.POSITIVE_INFINITY : e.ppmError;
    }

    /** Where both ran at once their difference is what counts, free of the wander they share. */
    private static boolean agree(Entry a, Entry b) {
        PhaseDifference d = PhaseDifference.of(a.frames, a.train, a.nominal, b.frames, b.train, b.nominal);
        if (d.driftPpmError() > 0) return Math.abs(d.driftPpm()) < AGREE * d.driftPpmError() + 0.1;
        return Math.abs(a.ppm - b.ppm) < AGREE * Math.hypot(a.ppmError, b.ppmError);
    }
}
