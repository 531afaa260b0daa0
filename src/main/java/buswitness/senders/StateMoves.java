package buswitness.senders;

/**
 * The moves between the states of {@link Attribution}, worked out once. A state has one digit for each schedule, base
 * {@link #STEPS}: the last tooth used against the tooth nearest to the frame (0 older, 3 the nearest, 4 one after).
 */
final class StateMoves {
    static final int STEPS = 5;
    private static final int COUNTED_MISSES = 3;
    /** From here on every digit has fallen as low and costs as much as it can. */
    private static final int MOST_MOVE = STEPS - 1 + COUNTED_MISSES;

    private final int schedules;
    private final int states;
    private final double[] miss;
    private final byte[] digit;
    /** What is added to a state when a schedule with that digit uses one of its three teeth; see {@link #ways}. */
    final int[] ahead;
    /** Factor for the teeth passed over on that way. */
    final double[] skipped;
    private final Shift[] shifts;

    /**
     * Each state seen from the next frame.
     *
     * @param target state that it becomes
     * @param charge factor for its teeth that fell out of sight unused
     */
    record Shift(int[] target, double[] charge) {}

    /** @param miss for each schedule the share of its teeth that have no frame */
    StateMoves(int schedules, double[] miss) {
        this.schedules = schedules;
        this.miss = miss;
        int power = 1;
        int tuples = 1;
        ahead = new int[schedules * STEPS * 3];
        skipped = new double[schedules * STEPS * 3];
        for (int c = 0; c < schedules; c++) {
            for (int from = 0; from < STEPS; from++) {
                double factor = 1;
                for (int d = from + 1; d < STEPS; d++) {
                    if (d >= 2) {
                        ahead[(c * STEPS + from) * 3 + d - 2] = (d - from) * power;
                        skipped[(c * STEPS + from) * 3 + d - 2] = factor;
                    }
                    factor *= miss[c];
                }
            }
            power *= STEPS;
            tuples *= MOST_MOVE + 1;
        }
        states = power;
        digit = new byte[states * schedules];
        for (int s = 0; s < states; s++) {
            int rest = s;
            for (int c = 0; c < schedules; c++, rest /= STEPS) digit[s * schedules + c] = (byte) (rest % STEPS);
        }
        shifts = new Shift[tuples];
    }

    /** Where {@link #ahead} and {@link #skipped} hold the three teeth that the schedule may use from this state. */
    int ways(int state, int schedule) {
        return (schedule * STEPS + digit[state * schedules + schedule]) * 3;
    }

    /** The first of the three teeth that lies after the last one used; 3 for none. */
    int firstTooth(int state, int schedule) {
        return Math.max(0, digit[state * schedules + schedule] - 1);
    }

    /**
     * @param nearest index of each schedule's nearest tooth, frame after frame; teeth never go back
     * @param at      where the frame's are, followed by the next frame's
     */
    Shift shift(int[] nearest, int at) {
        int tuple = 0;
        for (int c = schedules - 1; c >= 0; c--) {
            int move = nearest[at + schedules + c] - nearest[at + c];
            tuple = tuple * (MOST_MOVE + 1) + Math.min(MOST_MOVE, move);
        }
        if (shifts[tuple] == null) shifts[tuple] = worked(tuple);
        return shifts[tuple];
    }

    private Shift worked(int tuple) {
        int[] target = new int[states];
        double[] charge = new double[states];
        for (int s = 0; s < states; s++) {
            int unit = 1;
            int rest = tuple;
            double factor = 1;
            for (int c = 0; c < schedules; c++) {
                int to = digit[s * schedules + c] - rest % (MOST_MOVE + 1);
                for (int lost = 0; lost < COUNTED_MISSES && lost < -to; lost++) factor *= miss[c];
                target[s] += Math.max(0, Math.min(STEPS - 1, to)) * unit;
                unit *= STEPS;
                rest /= MOST_MOVE + 1;
            }
            charge[s] = factor;
        }
        return new Shift(target, charge);
    }
}
