package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Documented values as numbers: a frame is off the track of its neighbours where its value lies further outside the two
 * than the value moves from frame to frame within a train, whichever bits that flips. Without a layout there are none.
 */
final class ValueTracks {
    /** Of the steps within a train this share is usual; what lies beyond three of them is no step. */
    private static final double USUAL = 0.95;
    private static final double STEPS = 3;
    private static final int FEWEST = 8;

    private record Track(Signal signal, double usual) {}

    private final FrameLog log;
    private final List<Track> tracks = new ArrayList<>();
    private final int[] off;

    private ValueTracks(FrameLog log, List<Track> tracks) {
        this.log = log;
        this.tracks.addAll(tracks);
        this.off = new int[tracks.size()];
    }

    /** @param check a byte that is computed from the others and so no value, or null */
    static ValueTracks learn(MessageView view, Pages pages, int[] frames, CheckByte check) {
        Message documented = view.documented;
        List<Track> tracks = new ArrayList<>();
        if (documented != null) {
            for (Signal s : documented.carries()) {
                boolean isCheck = check != null && s.firstBit() / 8 <= check.at()
                        && (s.firstBit() + s.width() - 1) / 8 >= check.at();
                if (s.width() < 2 || isCheck) continue;
                double usual = usual(view.log, pages, frames, s);
                if (!Double.isNaN(usual)) tracks.add(new Track(s, usual));
            }
        }
        return new ValueTracks(view.log, tracks);
    }

    /** Usual step of a value from frame to frame of its page; NaN where too few were seen or it has no track. */
    private static double usual(FrameLog log, Pages pages, int[] frames, Signal signal) {
        double[] steps = new double[frames.length];
        int n = 0;
        Pages.Memory last = new Pages.Memory(pages);
        for (int frame : frames) {
            Integer before = last.put(log, frame);
            if (before == null) continue;
            double step = Math.abs(read(log, signal, frame) - read(log, signal, before));
            if (!Double.isNaN(step)) steps[n++] = step;
        }
        if (n < FEWEST) return Double.NaN;
        Arrays.sort(steps, 0, n);
        double usual = steps[(int) (USUAL * (n - 1))];
        double[] span = signal.span();
        // A counter, or a value that jumps all over its range, keeps no track.
        return usual > 0.1 * (span[1] - span[0]) ? Double.NaN : usual;
    }

    private static double read(FrameLog log, Signal signal, int frame) {
        return signal.read(log.data(frame), log.dataLength(frame));
    }

    /** Whether some documented value of the middle frame lies off the track of its neighbours, which agree. */
    boolean foreign(int before, int frame, int after) {
        boolean any = false;
        for (int i = 0; i < tracks.size(); i++) {
            Track t = tracks.get(i);
            double a = read(log, t.signal, before);
            double b = read(log, t.signal, after);
            double x = read(log, t.signal, frame);
            double room = STEPS * t.usual + Math.abs(t.signal.factor());
            if (Double.isNaN(a) || Double.isNaN(b) || Double.isNaN(x) || Math.abs(a - b) > room) continue;
            if (x < Math.min(a, b) - room || x > Math.max(a, b) + room) {
                off[i]++;
                any = true;
            }
        }
        return any;
    }

    /** The value that left its track most often, or null. */
    String says() {
        int most = -1;
        for (int i = 0; i < off.length; i++) if (off[i] > 0 && (most < 0 || off[i] > off[most])) most = i;
        if (most < 0) return null;
        Signal s = tracks.get(most).signal;
        double usual = tracks.get(most).usual;
        String moves = usual == 0 ? "hardly moves" : Say.text("moves by no more than %.3g %s", usual, s.unit()).strip();
        return Say.text("\"%s\" %s from frame to frame of one schedule, and %d frames of the other lie off that track",
                s.name(), moves, off[most]);
    }
}
