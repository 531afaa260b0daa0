package buswitness.compare;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Messages that have one sender in either recording, but not the same. One unit counts all its periods by one crystal, so
 * the ratio of two of its periods is the same on every day and on every recorder; where a message goes over to another unit
 * its ratio to what stayed shifts by the difference of two crystals.
 */
final class SenderMoves {
    /** Two crystals against each other on another day (common practice, no source), ppm. */
    private static final double WARMTH_PPM = 3 * Math.sqrt(2);
    /** More of the bus than this cannot have been exchanged without the rest being the same bus. */
    private static final int LEAST_MESSAGES = 2;
    private static final int LEAST_FREE = 12;

    private final RecordingPair pair;

    SenderMoves(RecordingPair pair) {
        this.pair = pair;
    }

    /** A message with its sender and its schedule in each recording. */
    private record Sent(long key, int before, int after, Track first, Track second) {
        double error() {
            return Math.hypot(first.periodErrorSeconds() / first.periodSeconds(),
                    second.periodErrorSeconds() / second.periodSeconds());
        }

        /** By how much the ratio of the two periods is another one afterwards, ppm. */
        double shift(Sent other) {
            double ratio = second.periodSeconds() / other.second.periodSeconds() * other.first.periodSeconds()
                    / first.periodSeconds();
            return (ratio - 1) * 1e6;
        }
    }

    void addTo(List<Change> out) {
        List<Sent> all = new ArrayList<>();
        for (long key : pair.keys()) {
            int a = sender(pair.before, key);
            int b = sender(pair.after, key);
            Track first = RecordingPair.main(pair.before, key);
            Track second = RecordingPair.main(pair.after, key);
            if (a >= 0 && b >= 0 && ownTime(first) && ownTime(second)) all.add(new Sent(key, a, b, first, second));
        }
        if (all.size() < LEAST_MESSAGES) return;
        for (Sent moved : all) {
            List<Sent> stayed = all.stream().filter(s -> stays(s, moved, all)).toList();
            Sent left = best(stayed.stream().filter(s -> s.before == moved.before && s.after != moved.after).toList());
            Sent joined = best(stayed.stream().filter(s -> s.before != moved.before && s.after == moved.after).toList());
            if (left == null && joined == null) continue;
            out.add(change(moved, left, joined, all.size()));
        }
    }

    /** A message that waits for another one every time keeps that one's clock: enough of its frames must start of themselves. */
    private static boolean ownTime(Track track) {
        return track != null && track.freeStarts() >= LEAST_FREE && track.freeStarts() * 4 >= track.frames();
    }

    /** Whether the other message rather than this one kept its sender: more of its company is the same. */
    private static boolean stays(Sent other, Sent moved, List<Sent> all) {
        return company(other, all) > company(moved, all) || company(other, all) == company(moved, all) && other.key < moved.key;
    }

    private static long company(Sent s, List<Sent> all) {
        return all.stream().filter(o -> o.before == s.before && o.after == s.after).count();
    }

    private static Sent best(List<Sent> some) {
        return some.stream().min(Comparator.comparingDouble(Sent::error)).orElse(null);
    }

    private Change change(Sent moved, Sent left, Sent joined, int tried) {
        Sent by = left != null ? left : joined;
        double shift = moved.shift(by);
        double error = Math.hypot(Math.hypot(moved.error(), by.error()) * 1e6, WARMTH_PPM);
        return new Change(Kind.SENDERS, pair.title(moved.key), pair.title(moved.key),
                left != null ? "from the unit that sends " + pair.title(left.key) : "not from the unit that sends "
                + pair.title(joined.key), joined != null ? "from the unit that sends " + pair.title(joined.key)
                : "not from the unit that sends " + pair.title(left.key), shift, error, "ppm",
                Math.min(1, tried * Chance.normal(shift, error)), Standing.CHANGED, Origin.BUS,
                "the clock of its period against that of " + pair.title(by.key) + "; the error holds 4 ppm for warmth");
    }

    private static int sender(Findings f, long key) {
        MessageFinding m = f.clashes().message(key);
        return m == null || m.verdict() != Verdict.ONE_SENDER || m.senders().size() != 1 ? -1 : m.senders().get(0);
    }
}
