package buswitness.map;

import buswitness.Findings;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** One message in one recording: its frames, pauses and silences. */
final class MessageFacts {
    private static final int BARS = 48;
    /** A silence is so many times the usual pause, and a second at least. */
    private static final double SILENT_PAUSES = 8;
    private static final double SILENT_SECONDS = 1;

    final Findings findings;
    final long key;
    final int[] frames;
    final int remote;
    final List<Track> tracks;

    MessageFacts(Findings findings, long key, int[] frames, int remote) {
        this.findings = findings;
        this.key = key;
        this.frames = frames;
        this.remote = remote;
        this.tracks = findings.senders().tracks(key);
    }

    double start(int k) {
        return findings.frames().startSeconds(frames[k]);
    }

    double first() {
        return start(0);
    }

    double last() {
        return start(frames.length - 1);
    }

    /** Share of time, by the frames' own length where it is known. */
    double load() {
        FrameLog log = findings.frames();
        double busy = 0;
        for (int f : frames) busy += (log.endPicos(f) - log.startPicos(f)) * 1e-12;
        double watched = watched();
        return busy > 0 && watched > 0 ? busy / watched : Double.NaN;
    }

    private double watched() {
        double all = findings.bus().durationPicos() * 1e-12;
        for (Gap g : findings.gaps()) all -= (g.untilPicos() - g.fromPicos()) * 1e-12;
        return all;
    }

    /** Frames of each sender apart, where two send the message; else all of them. */
    List<PayloadRows.Stream> streams(boolean severalSenders) {
        FrameLog log = findings.frames();
        if (!severalSenders) return List.of(new PayloadRows.Stream(log, frames));
        List<PayloadRows.Stream> all = new ArrayList<>();
        int senders = findings.clashes().senders().size();
        for (int s = 0; s < senders; s++) {
            int sender = s;
            int[] own = Arrays.stream(frames).filter(f -> findings.clashes().senderOf(f) == sender).toArray();
            if (own.length > 0) all.add(new PayloadRows.Stream(log, own));
        }
        return all.isEmpty() ? List.of(new PayloadRows.Stream(log, frames)) : all;
    }

    /** Pauses without those that hold a gap of the recording. */
    double[] pauses() {
        double[] pauses = new double[Math.max(0, frames.length - 1)];
        int n = 0;
        for (int k = 1; k < frames.length; k++) if (!gapBetween(start(k - 1), start(k))) pauses[n++] = start(k) - start(k - 1);
        return Arrays.copyOf(pauses, n);
    }

    private boolean gapBetween(double from, double until) {
        for (Gap g : findings.gaps()) {
            if (g.fromPicos() * 1e-12 < until && g.untilPicos() * 1e-12 > from) return true;
        }
        return false;
    }

    double usualPause() {
        double[] pauses = pauses();
        if (pauses.length == 0) return Double.NaN;
        Arrays.sort(pauses);
        return pauses[pauses.length / 2];
    }

    /** Long silences, those before the first and after the last frame included. */
    List<Span> silences() {
        double usual = usualPause();
        List<Span> all = new ArrayList<>();
        if (Double.isNaN(usual)) return all;
        double least = Math.max(SILENT_SECONDS, SILENT_PAUSES * usual);
        double end = findings.bus().durationPicos() * 1e-12;
        if (first() > least) all.add(new Span(0, first()));
        for (int k = 1; k < frames.length; k++) {
            if (start(k) - start(k - 1) > least && !gapBetween(start(k - 1), start(k))) {
                all.add(new Span(start(k - 1), start(k)));
            }
        }
        if (end - last() > least) all.add(new Span(last(), end));
        return all;
    }

    Histogram histogram() {
        double[] pauses = pauses();
        if (pauses.length < 4) return null;
        double[] sorted = pauses.clone();
        Arrays.sort(sorted);
        double low = sorted[(int) (0.02 * (sorted.length - 1))];
        double high = sorted[(int) Math.ceil(0.98 * (sorted.length - 1))];
        double middle = sorted[sorted.length / 2];
        double room = Math.max((high - low) * 0.1, middle * 1e-3);
        double from = Math.max(0, low - room);
        double width = (high + room - from) / BARS;
        int[] counts = new int[BARS];
        int outside = 0;
        for (double p : pauses) {
            int bar = (int) Math.floor((p - from) / width);
            if (bar < 0 || bar >= BARS) outside++;
            else counts[bar]++;
        }
        return new Histogram(from, width, counts, outside);
    }
}
