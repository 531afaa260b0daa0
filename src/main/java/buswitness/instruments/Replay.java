package buswitness.instruments;

import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import java.util.Arrays;

/** Plays a series into an instrument and keeps what the driver would have seen. */
final class Replay {
    private final Instrument instrument;
    private final NeedleMotion needle;
    private double[] at;
    private float[] told;
    private float[] shown;
    private int[] sender;
    private int size;
    private int timeOuts;
    private double shownSum;
    private double shownSeconds;
    private double litSeconds;
    private double lampSeconds;
    private double lampSince = Double.NaN;
    private boolean lit;

    private Replay(Instrument instrument, int expected) {
        this.instrument = instrument;
        needle = instrument instanceof Gauge g
                ? new NeedleMotion(g.settlesSeconds(), g.travelsAtMostPerSecond()) : null;
        at = new double[expected];
        told = new float[expected];
        shown = new float[expected];
        sender = new int[expected];
    }

    /**
     * @param timeOuts  how often it timed out
     * @param meanShown needle: time average of what it shows, share of travel; NaN where never told
     * @param litShare  lamp: share of known time lit; NaN for a needle or where never told
     */
    record Played(Trace trace, int timeOuts, double meanShown, double litShare) {}

    /** @param endSeconds end of the recording */
    static Played play(Instrument instrument, SignalSeries series, double endSeconds, double[] gapStarts) {
        Replay replay = new Replay(instrument, series.arrivals + 8);
        double seen = Double.NaN;
        for (int i = 0; i < series.arrivals; i++) {
            double gap = series.arrivalGap[i];
            boolean afterGap = !Double.isNaN(gap);
            replay.timeOutBefore(seen, afterGap ? gap : series.arrivalAt[i]);
            if (afterGap && !Double.isNaN(seen)) replay.lose(Math.max(seen, gap));
            seen = series.arrivalAt[i];
            if (!Double.isNaN(series.arrivalValue[i])) {
                replay.tell(seen, series.arrivalValue[i], series.arrivalSender[i]);
            }
        }
        double end = endSeconds;
        for (double gap : gapStarts) if (gap > seen) end = Math.min(end, gap);
        replay.timeOutBefore(seen, end);
        if (!Double.isNaN(seen)) replay.passUntil(end);
        return replay.played();
    }

    private void timeOutBefore(double seen, double limit) {
        double after = instrument.timeoutSeconds();
        if (Double.isNaN(seen) || Double.isNaN(after) || !(seen + after < limit)) return;
        double when = seen + after;
        timeOuts++;
        if (instrument instanceof Gauge g) {
            passUntil(when);
            double before = Double.isNaN(g.timeoutShare()) ? needle.advance(when) : needle.tell(when, g.timeoutShare());
            add(when, Double.NaN, before, -1);
        } else if (instrument instanceof Lamp l) {
            passUntil(when);
            lit = l.litAtTimeout();
            lampSince = when;
            add(when, Double.NaN, lit ? 1 : 0, -1);
        }
    }

    private void lose(double when) {
        passUntil(when);
        lampSince = Double.NaN;
        if (needle != null) needle.lose();
        add(when, Double.NaN, Double.NaN, -1);
    }

    private void tell(double when, double value, int from) {
        passUntil(when);
        if (instrument instanceof Gauge g) {
            add(when, value, needle.tell(when, g.shareOf(value)), from);
        } else if (instrument instanceof Lamp l) {
            lit = l.isLit(value);
            lampSince = when;
            add(when, value, lit ? 1 : 0, from);
        }
    }

    /** Adds the time since the last event to the averages. A needle's is taken at the middle of the stretch. */
    private void passUntil(double when) {
        if (needle == null) {
            if (Double.isNaN(lampSince)) return;
            lampSeconds += when - lampSince;
            if (lit) litSeconds += when - lampSince;
            lampSince = when;
        } else if (size > 0 && !Float.isNaN(shown[size - 1])) {
            double stretch = when - at[size - 1];
            double middle = needle.advance(when - stretch / 2);
            if (!Double.isNaN(middle)) {
                shownSum += middle * stretch;
                shownSeconds += stretch;
            }
        }
    }

    private void add(double when, double value, double show, int from) {
        if (size == at.length) {
            int more = size * 2;
            at = Arrays.copyOf(at, more);
            told = Arrays.copyOf(told, more);
            shown = Arrays.copyOf(shown, more);
            sender = Arrays.copyOf(sender, more);
        }
        at[size] = when;
        told[size] = (float) value;
        shown[size] = (float) show;
        sender[size++] = from;
    }

    private Played played() {
        Trace trace = new Trace(Arrays.copyOf(at, size), Arrays.copyOf(told, size), Arrays.copyOf(shown, size),
                Arrays.copyOf(sender, size));
        return new Played(trace, timeOuts, shownSum / shownSeconds,
                needle == null ? litSeconds / lampSeconds : Double.NaN);
    }
}
