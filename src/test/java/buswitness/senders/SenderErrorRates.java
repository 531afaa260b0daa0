package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.stats.Interval;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/**
 * Measures on random buses how often timing alone shows two drifting combs where there is one sender, finds them where
 * there are two, and attributes frames. Prints a table; arguments: buses of each sort (200), first seed (1).
 */
public final class SenderErrorRates {
    private static final double SIGMAS = 6;

    private SenderErrorRates() {}

    /** Two combs at once whose drift is beyond doubt and has moved them by more than their jitters. */
    static boolean drifting(SenderFindings f, long key) {
        for (CombPair p : f.timing(key).pairs()) {
            double jitters = f.tracks().get(p.first()).jitterSeconds() + f.tracks().get(p.second()).jitterSeconds();
            boolean moved = Double.isNaN(p.travelSeconds()) || p.travelSeconds() > jitters;
            if (p.overlapSeconds() > 0 && p.driftSigmas() > SIGMAS && moved) return true;
        }
        return false;
    }

    /** Right, wrong, undetermined; undetermined and wrong within a crossing; tracks matched to nodes by majority. */
    static int[] attribution(RandomBuses bus, SenderFindings f) {
        long key = MessageKey.can(RandomBuses.ID, false);
        FrameLog log = bus.made().log();
        int[] senders = bus.made().senderOf();
        Map<Integer, int[]> votes = new TreeMap<>();
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != key || !log.isWhole(i) || senders[i] < 0 || f.trackOf(i) < 0) continue;
            votes.computeIfAbsent(f.trackOf(i), t -> new int[16])[senders[i]]++;
        }
        int[] counts = new int[5];
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != key || !log.isWhole(i) || senders[i] < 0) continue;
            if (f.trackOf(i) < 0) {
                counts[crossing(f, key, log.startSeconds(i)) ? 3 : 2]++;
                continue;
            }
            int[] v = votes.get(f.trackOf(i));
            int best = 0;
            for (int s = 1; s < v.length; s++) if (v[s] > v[best]) best = s;
            counts[best == senders[i] ? 0 : crossing(f, key, log.startSeconds(i)) ? 4 : 1]++;
        }
        return counts;
    }

    private static boolean crossing(SenderFindings f, long key, double at) {
        for (CombPair p : f.timing(key).pairs()) {
            for (CombPair.Crossing c : p.crossings()) {
                if (at > c.fromSeconds() - 1 && at < c.untilSeconds() + 1) return true;
            }
        }
        return false;
    }

    public static void main(String[] args) {
        int n = args.length > 0 ? Integer.parseInt(args[0]) : 200;
        long seed = args.length > 1 ? Long.parseLong(args[1]) : 1;
        long key = MessageKey.can(RandomBuses.ID, false);
        Map<String, int[]> innocent = new TreeMap<>();
        int wrong = 0;
        for (long s = seed; s < seed + n; s++) {
            RandomBuses bus = RandomBuses.innocent(s);
            SenderFindings f = Senders.find(bus.made().log(), bus.made().bus(), bus.made().gaps(), null);
            int[] c = innocent.computeIfAbsent(bus.kind(), k -> new int[2]);
            c[0]++;
            if (!drifting(f, key)) continue;
            c[1]++;
            wrong++;
            System.out.printf(Locale.ROOT, "drift shown: seed %d %s %s%n", s, bus.kind(), f.timing(key).pairs());
        }
        innocent.forEach((kind, c) -> System.out.printf(Locale.ROOT,
                "one sender, %-24s %4d buses, %d with drifting combs%n", kind, c[0], c[1]));
        System.out.printf(Locale.ROOT, "one sender, all: %d of %d, 95 %% upper bound %.2f %%%n", wrong, n,
                100 * Interval.wilson(wrong, n, 1.645).high());
        two(n, seed, key);
    }

    private static void two(int n, long seed, long key) {
        String[] names = {"below 1 sigma", "1 to 6 sigma", "6 sigma or more"};
        int[][] sums = new int[3][7];
        for (long s = seed; s < seed + n; s++) {
            RandomBuses bus = RandomBuses.two(s);
            SenderFindings f = Senders.find(bus.made().log(), bus.made().bus(), bus.made().gaps(), null);
            double seconds = bus.made().bus().durationPicos() * 1e-12;
            // What the truth offers: travel of the phases against the jitter's width.
            double sigma = Math.abs(bus.clockDifferencePpm()) * 1e-6 * seconds / Math.max(5e-6, bus.jitter());
            int row = sigma < 1 ? 0 : sigma < 6 ? 1 : 2;
            sums[row][0]++;
            boolean found = drifting(f, key);
            if (found) sums[row][1]++;
            else if (row == 2) {
                System.out.printf(Locale.ROOT, "missed: seed %d T %.3f %.1f ppm s %.2g %.0f s %s %s%n", s,
                        bus.periodSeconds(), bus.clockDifferencePpm(), bus.jitter(), seconds, bus.kind(),
                        f.timing(key));
            }
            int[] a = attribution(bus, f);
            for (int k = 0; k < 5; k++) sums[row][2 + k] += a[k];
            if (a[1] + a[4] > 0.005 * (a[0] + a[1] + a[4])) {
                System.out.printf(Locale.ROOT, "attribution: seed %d T %.3f %.1f ppm s %.2g %s %d right %d wrong"
                                + " %d undetermined, in crossings %d %d%n", s, bus.periodSeconds(),
                        bus.clockDifferencePpm(), bus.jitter(), bus.kind(), a[0], a[1], a[2], a[4], a[3]);
            }
        }
        for (int r = 0; r < 3; r++) {
            int[] c = sums[r];
            double frames = Math.max(1, c[2] + c[3] + c[4] + c[5] + c[6]);
            System.out.printf(Locale.ROOT, "two senders, phases travel %s: %d buses, %d found; frames right %.3f %%,"
                            + " wrong %.3f %%, undetermined %.3f %%; in crossings wrong %.3f %%,"
                            + " undetermined %.3f %%%n",
                    names[r], c[0], c[1], 100 * c[2] / frames, 100 * c[3] / frames, 100 * c[4] / frames,
                    100 * c[6] / frames, 100 * c[5] / frames);
        }
    }
}
