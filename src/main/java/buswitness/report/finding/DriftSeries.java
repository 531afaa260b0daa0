package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Schedule;
import buswitness.frames.FrameLog;
import buswitness.report.parts.Names;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;

/**
 * Schedules of one message against a common period: how far each has shifted since its first frame. One timer stays
 * level or slopes; two timers part. Where the wire shows which frames started freely only those count: a frame that
 * waited for the bus tells the bus's business, not its sender's clock.
 *
 * @param name          of the message
 * @param periodSeconds the first schedule's
 */
record DriftSeries(String name, double periodSeconds, List<Line> lines) {
    /**
     * @param label sender's label, or {@code schedule 1} where nobody is named
     * @param mark  sender's index, or the schedule's number counted down from -2
     * @param shift seconds beyond whole periods since the line's first frame, unwrapped
     */
    record Line(String label, int mark, double[] at, double[] shift) {
        /** All points inside the detail windows, an even share of {@code most} outside. */
        int[] thinned(DetailPlan plan, int most) {
            int step = Math.max(1, at.length / Math.max(1, most));
            return IntStream.range(0, at.length).filter(k -> k % step == 0 || k == at.length - 1 || plan.covers(at[k]))
                    .toArray();
        }
    }

    /** Null where no schedule has a period. */
    static DriftSeries of(Findings findings, Names names, MessageFinding message, int[] frames) {
        double period = Double.NaN;
        for (Schedule s : message.schedules()) if (Double.isNaN(period)) period = s.periodSeconds();
        if (Double.isNaN(period) || period <= 0) return null;
        List<Line> lines = new ArrayList<>();
        int number = 0;
        for (Schedule s : message.schedules()) {
            number++;
            if (Double.isNaN(s.periodSeconds()) || lines.size() >= 6) continue;
            Line line = line(findings, names, s, number, frames, period);
            if (line.at.length > 1) lines.add(line);
        }
        return lines.isEmpty() ? null : new DriftSeries(names.message(message.key()), period, lines);
    }

    private static Line line(Findings findings, Names names, Schedule s, int number, int[] frames, double period) {
        FrameLog log = findings.frames();
        double[] at = new double[frames.length];
        double[] shift = new double[frames.length];
        int n = 0;
        boolean free = findings.bus().wire();
        for (int i : frames) {
            if (free && !log.isFreeStart(i)) continue;
            if (!log.isWhole(i) || log.isRemote(i) || findings.senders().trackOf(i) != s.track()) continue;
            at[n] = log.startSeconds(i);
            if (n > 0) {
                double step = at[n] - at[n - 1];
                shift[n] = shift[n - 1] + step - Math.rint(step / s.periodSeconds()) * period;
            }
            n++;
        }
        String label = names.label(s.sender());
        return new Line(label == null ? "schedule " + number : label, label == null ? -1 - number : s.sender(),
                java.util.Arrays.copyOf(at, n), java.util.Arrays.copyOf(shift, n));
    }
}
