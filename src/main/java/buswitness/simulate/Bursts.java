package buswitness.simulate;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.SplittableRandom;

/** All interference of a run, in time order. */
final class Bursts {
    private record Burst(long from, long until, boolean dominant) {}

    private final List<Burst> all = new ArrayList<>();
    private final long longest;
    private int next;
    private int firstLive;

    Bursts(Scenario scenario, double endSeconds) {
        int number = 0;
        for (Interference each : scenario.interference()) {
            SplittableRandom random = Streams.of(scenario.seed(), "interference", Integer.toString(number++));
            for (double at : each.atSeconds()) add(at, each.lastsSeconds(), each.dominant());
            if (each.perSecond() <= 0) continue;
            double until = Math.min(endSeconds, each.untilSeconds());
            double at = each.fromSeconds() + random.nextExponential() / each.perSecond();
            while (at < until) {
                double lasts = each.lastsSeconds() * (each.lengthVaries() ? random.nextExponential() : 1);
                add(at, lasts, each.dominant());
                at += lasts + random.nextExponential() / each.perSecond();
            }
        }
        all.sort(Comparator.comparingLong(Burst::from));
        long most = 0;
        for (Burst burst : all) most = Math.max(most, burst.until - burst.from);
        longest = most;
    }

    private void add(double at, double lasts, boolean dominant) {
        long from = Math.round(at * 1e12);
        all.add(new Burst(from, from + Math.max(1, Math.round(lasts * 1e12)), dominant));
    }

    /** Start of the next burst not yet laid on the wire. */
    long nextFrom() {
        return next < all.size() ? all.get(next).from : Long.MAX_VALUE;
    }

    /** Whether that burst is dominant and lasts long enough to be taken for a start bit. */
    boolean nextStartsFrame(long sampleAfterPicos) {
        Burst burst = all.get(next);
        return burst.dominant && burst.until - burst.from > sampleAfterPicos;
    }

    /** Lays every burst that starts before an instant on the wire. */
    void layUntil(long beforePicos, Wire wire) {
        while (next < all.size() && all.get(next).from < beforePicos) {
            Burst burst = all.get(next++);
            wire.forced(burst.from, burst.until, burst.dominant);
        }
    }

    /** Whether any burst touches the time between two instants. */
    boolean touches(long fromPicos, long untilPicos) {
        dropBefore(fromPicos);
        for (int i = firstLive; i < all.size() && all.get(i).from < untilPicos; i++) {
            if (all.get(i).until > fromPicos) return true;
        }
        return false;
    }

    /** The level somebody samples at an instant, given what the nodes drive. */
    int seen(long atPicos, int level) {
        if (firstLive >= all.size()) return level;
        int result = level;
        for (int i = firstLive; i < all.size() && all.get(i).from <= atPicos; i++) {
            Burst burst = all.get(i);
            if (burst.until <= atPicos) continue;
            if (!burst.dominant) return 1;
            result = 0;
        }
        return result;
    }

    private void dropBefore(long picos) {
        while (firstLive < all.size() && all.get(firstLive).from + longest < picos) firstLive++;
    }

    /**
     * First instant between two at which a burst that nodes can tell from a spike holds the line so.
     *
     * @return {@link Long#MAX_VALUE} for none
     */
    long firstForcing(long fromPicos, long untilPicos, boolean dominant, long atLeastPicos) {
        dropBefore(fromPicos);
        for (int i = firstLive; i < all.size() && all.get(i).from < untilPicos; i++) {
            Burst burst = all.get(i);
            boolean seen = burst.dominant == dominant && burst.until - burst.from >= atLeastPicos;
            if (seen && burst.until > fromPicos) return Math.max(fromPicos, burst.from);
        }
        return Long.MAX_VALUE;
    }

    /** End of the last burst that touches a stretch of time; the stretch's end where none reaches beyond. */
    long quietFrom(long fromPicos, long untilPicos) {
        long quiet = untilPicos;
        for (int i = firstLive; i < all.size() && all.get(i).from < quiet; i++) {
            if (all.get(i).until > fromPicos) quiet = Math.max(quiet, all.get(i).until);
        }
        return quiet;
    }
}
