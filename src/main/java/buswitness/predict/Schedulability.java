package buswitness.predict;

import java.util.List;

/**
 * Worst-case response times of messages on a bus where the highest priority goes first and nothing is broken off:
 * the exact test with busy period and several instances of R. I. Davis, A. Burns, R. J. Bril and J. J. Lukkien,
 * "Controller Area Network (CAN) schedulability analysis: Refuted, revisited and revised", Real-Time Systems 35 (2007)
 * 239-272. Error-free. Times may be in any unit, all in the same.
 */
final class Schedulability {
    /** Rounding of sums of periods must not add an instance. */
    private static final double EPSILON = 1e-9;
    private static final int MOST_STEPS = 100_000;

    private Schedulability() {}

    /**
     * A message.
     *
     * @param length longest transmission
     * @param period least time between two releases; infinite where it only blocks
     * @param jitter how late a release may lie in the queue
     */
    record Task(double length, double period, double jitter) {}

    /**
     * @param response  from the event that makes it to the end of its transmission; infinite where it never settles
     * @param instances how many of it had to be looked at
     * @param busy      length of the busy period
     */
    record Response(double response, int instances, double busy) {}

    /**
     * @param tasks highest priority first
     * @param m     index of the message
     * @param bit   length of a bit
     */
    static Response of(List<Task> tasks, int m, double bit) {
        Task own = tasks.get(m);
        double blocking = 0;
        for (int k = m + 1; k < tasks.size(); k++) blocking = Math.max(blocking, tasks.get(k).length());
        double load = 0;
        for (int k = 0; k <= m; k++) load += tasks.get(k).length() / tasks.get(k).period();
        if (!(load <= 1 + EPSILON)) {
            return new Response(Double.POSITIVE_INFINITY, 0, Double.POSITIVE_INFINITY);
        }
        double busy = busy(tasks, m, blocking);
        int instances = (int) Math.max(1, ceil((busy + own.jitter()) / own.period()));
        double worst = 0;
        for (int q = 0; q < instances; q++) {
            double delay = queued(tasks, m, q, blocking, bit);
            worst = Math.max(worst, own.jitter() + delay - q * own.period() + own.length());
        }
        return new Response(worst, instances, busy);
    }

    private static double busy(List<Task> tasks, int m, double blocking) {
        double busy = tasks.get(m).length();
        for (int step = 0; step < MOST_STEPS; step++) {
            double next = blocking;
            for (int k = 0; k <= m; k++) {
                Task t = tasks.get(k);
                next += ceil((busy + t.jitter()) / t.period()) * t.length();
            }
            if (next <= busy + EPSILON) return busy;
            busy = next;
        }
        return Double.POSITIVE_INFINITY;
    }

    private static double queued(List<Task> tasks, int m, int q, double blocking, double bit) {
        double start = blocking + q * tasks.get(m).length();
        double delay = start;
        for (int step = 0; step < MOST_STEPS; step++) {
            double next = start;
            for (int k = 0; k < m; k++) {
                Task t = tasks.get(k);
                next += ceil((delay + t.jitter() + bit) / t.period()) * t.length();
            }
            if (next <= delay + EPSILON) return delay;
            delay = next;
        }
        return Double.POSITIVE_INFINITY;
    }

    private static double ceil(double value) {
        return Math.ceil(value - EPSILON);
    }
}
