package buswitness.compare;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.MessageKey;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;

/** Two recordings and what both need. */
final class RecordingPair {
    final Findings before;
    final Findings after;
    final Layout layout;

    /** @throws InputFault where one cannot be read at the rate given, or neither holds a whole frame */
    RecordingPair(Findings before, Findings after) {
        before.mustBeReadable();
        after.mustBeReadable();
        if (before.frames().wholeCount() == 0 && after.frames().wholeCount() == 0) {
            throw new InputFault(Place.file(before.recording().source()), "holds no whole frame, and neither does "
                    + after.recording().source(), "record both while the bus is awake");
        }
        this.before = before;
        this.after = after;
        layout = after.layout() != null ? after.layout() : before.layout();
    }

    static boolean coarse(Findings f) {
        return f.bus().tickTooCoarse(f.recording().tickPicos());
    }

    static double end(Findings f) {
        return f.bus().durationPicos() * 1e-12;
    }

    /** Time that was recorded, gaps left out. */
    static double seconds(Findings f) {
        double sum = end(f);
        for (Gap g : f.gaps()) sum -= (g.untilPicos() - g.fromPicos()) * 1e-12;
        return Math.max(1e-6, sum);
    }

    /** Messages of both with at least one whole data frame. */
    SortedSet<Long> keys() {
        SortedSet<Long> keys = new TreeSet<>();
        for (Findings f : List.of(before, after)) {
            for (int i = 0; i < f.frames().size(); i++) {
                if (f.frames().isWhole(i) && !f.frames().isRemote(i)) keys.add(f.frames().key(i));
            }
        }
        return keys;
    }

    static double[] starts(Findings f, long key) {
        FrameLog log = f.frames();
        double[] at = new double[log.size()];
        int n = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) == key && log.isWhole(i) && !log.isRemote(i)) at[n++] = log.startSeconds(i);
        }
        return Arrays.copyOf(at, n);
    }

    /** The schedule that most frames of a message keep, or null. */
    static Track main(Findings f, long key) {
        return f.senders().tracks(key).stream().filter(RecordingPair::measured).max(Comparator.comparingInt(Track::frames))
                .orElse(null);
    }

    /** Schedules that keep at least half as many frames as the main one. */
    static List<Track> schedules(Findings f, long key) {
        Track most = main(f, key);
        return f.senders().tracks(key).stream().filter(t -> measured(t) && 2 * t.frames() >= most.frames()).toList();
    }

    private static boolean measured(Track t) {
        return t.cyclic() && !Double.isNaN(t.periodErrorSeconds());
    }

    String title(long key) {
        Message m = documented(key);
        return m == null ? MessageKey.text(key) : m.name() + " (" + MessageKey.text(key) + ")";
    }

    Message documented(long key) {
        if (layout == null) return null;
        for (Message m : layout.messages()) if (MessageKey.of(m) == key) return m;
        return null;
    }

    List<String> notes(boolean alike) {
        List<String> notes = new ArrayList<>();
        if (layout == null) notes.add("No layout is known, so values and instruments were not compared.");
        if (before.bus().wire() != after.bus().wire()) {
            notes.add("One of the two is a table of frames: damaged frames and load were not compared.");
        }
        if (coarse(before) || coarse(after)) {
            notes.add("A recorder's tick is too coarse for this bus, and frames may look broken that are not: damaged frames were"
                    + " not compared.");
        }
        if (!before.recording().sha256().isEmpty() && before.recording().sha256().equals(after.recording().sha256())) {
            notes.add("Both are the same file.");
        }
        double shorter = Math.min(seconds(before), seconds(after));
        if (shorter < 30) {
            notes.add("The shorter recording holds " + Words.number(shorter)
                    + " s; a minute or more each shows smaller differences.");
        }
        notes.add(alike ? "Both are taken as driven alike, as told: what values and events differ in counts as a difference."
                : "Values, events and load differ with the drive as well as with the build, so they alone decide nothing: compare"
                + " the same stretch, driven alike, and say so with --driven-alike.");
        return notes;
    }
}
