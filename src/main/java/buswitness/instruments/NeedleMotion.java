package buswitness.instruments;

/**
 * A needle that follows its target as a first-order system, no faster than its movement allows. After the settling time
 * of three time constants it has covered 1 - exp(-3) = 95.0 % of a step (the solution of tau x' = target - x, in any
 * text on linear systems). Solved exactly between events, so the answer does not depend on a step width.
 */
final class NeedleMotion {
    private static final double TIME_CONSTANTS_TO_SETTLE = 3;

    private final double tauSeconds;
    private final double limitPerSecond;
    private double shown = Double.NaN;
    private double target = Double.NaN;
    private double now;

    /**
     * @param settlesSeconds 0 for a needle that jumps
     * @param limitPerSecond share of travel a second, NaN where not limited
     */
    NeedleMotion(double settlesSeconds, double limitPerSecond) {
        this.tauSeconds = settlesSeconds / TIME_CONSTANTS_TO_SETTLE;
        this.limitPerSecond = limitPerSecond;
    }

    /** Nothing is known from here on; the next {@link #tell} puts the needle at its target. */
    void lose() {
        shown = Double.NaN;
        target = Double.NaN;
    }

    /** New target at {@code seconds}. @return share shown just before */
    double tell(double seconds, double newTarget) {
        double before = advance(seconds);
        if (Double.isNaN(before)) before = shown = newTarget;
        target = newTarget;
        return before;
    }

    /** Moves on to {@code seconds}. @return share shown then, NaN where unknown */
    double advance(double seconds) {
        double left = seconds - now;
        now = seconds;
        if (Double.isNaN(target) || left <= 0) return shown;
        double away = target - shown;
        if (limitPerSecond > 0 && Math.abs(away) > limitPerSecond * tauSeconds) {
            double way = Math.signum(away);
            double steady = (Math.abs(away) - limitPerSecond * tauSeconds) / limitPerSecond;
            if (left <= steady) return shown += way * limitPerSecond * left;
            left -= steady;
            away = way * limitPerSecond * tauSeconds;
        }
        shown = tauSeconds > 0 ? target - away * Math.exp(-left / tauSeconds) : target;
        return shown;
    }
}
