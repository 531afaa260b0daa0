package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import java.util.List;

/**
 * What two schedules whose drift is not proven do not exclude, and how long a recording would have to be. The error of
 * a drift falls with the power 1.5 of the length while starts scatter independently, and no further than the clocks
 * wander; so the length told is the least.
 */
final class Power {
    /** A drift smaller than this is not worth waiting for: crystals wander by as much. */
    private static final double LEAST_PPM = 5;
    private static final double GROWTH = 1.5;

    private Power() {}

    /** The smallest drift that six standard errors would show, parts per million. */
    static double seenFrom(double errorPpm) {
        return Timing.DRIFT_DEVIATIONS * errorPpm;
    }

    /** Seconds side by side after which a drift of so many ppm is six standard errors; never less than there were. */
    static double seconds(double beside, double errorPpm, double driftPpm) {
        return beside * Math.max(1, Math.pow(seenFrom(errorPpm) / Math.max(LEAST_PPM, Math.abs(driftPpm)), 1 / GROWTH));
    }

    /** Of two schedules of which it is not known whether they drift; weighs nothing. */
    static Evidence unresolved(String schedules, double driftPpm, double errorPpm, double beside, double from,
                               double until, int frames) {
        double wanted = seconds(beside, errorPpm, driftPpm);
        double least = seenFrom(errorPpm);
        String says = Say.text("Two schedules run side by side for %.0f s (%s). Whether they drift is not shown: %s, where"
                        + " a drift from %.1f ppm on would be. One node with two tasks, or a second node whose clock"
                        + " agrees to %.1f ppm; %.0f s side by side would show a drift of %.0f ppm.", beside, schedules,
                Say.ppm(driftPpm, errorPpm), least, least, wanted, Math.max(LEAST_PPM, Math.abs(driftPpm)));
        return new Evidence(Kind.SCHEDULE, says, 0, from, until, frames, false,
                figures(driftPpm, errorPpm, beside, wanted));
    }

    /** What a longer recording cannot tell from one timer. */
    static String inStep(double driftPpm, double errorPpm) {
        return Say.text(" A second node whose clock agrees to %.1f ppm would look the same; unplugging one decides.",
                Math.abs(driftPpm) + 2 * errorPpm);
    }

    static List<Figure> figures(double driftPpm, double errorPpm, double beside, double wanted) {
        return List.of(new Figure("drift_ppm", driftPpm), new Figure("drift_error_ppm", errorPpm),
                new Figure("side_by_side_s", beside), new Figure("drift_shown_from_ppm", seenFrom(errorPpm)),
                new Figure("side_by_side_needed_s", wanted));
    }
}
