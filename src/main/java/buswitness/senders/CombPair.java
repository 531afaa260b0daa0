package buswitness.senders;

import java.util.List;

/**
 * Two combs of one message, compared where both are running. Drift is fitted to their difference in phase, block by
 * block, so that wander that both share (one oscillator) cancels.
 *
 * @param first          index of the earlier track in {@link SenderFindings#tracks()}
 * @param second         index of the other
 * @param overlapSeconds how long both ran at once; 0 where one followed the other
 * @param driftPpm       period of the second against the first, parts per million of the first, taken against their
 *                       nominal values where those differ; NaN without overlap or where nominal values are missing
 * @param driftPpmError  one standard error, wander of the difference included; NaN as above
 * @param travelSeconds  how far the phase of the second moved against the first over the overlap, wander included;
 *                       NaN where the periods differ by more than half a per cent
 * @param crossings      stretches in which the teeth of both lie within three jitters of each other, in time order:
 *                       there timing cannot tell the frames apart, head-on collisions are due
 */
public record CombPair(int first, int second, double overlapSeconds, double driftPpm, double driftPpmError,
                       double travelSeconds, List<Crossing> crossings) {
    /** From the first close pair of teeth to the last. */
    public record Crossing(double fromSeconds, double untilSeconds) {}

    public CombPair {
        crossings = List.copyOf(crossings);
    }

    /** Drift in standard errors; 0 where it is not known. */
    public double driftSigmas() {
        return driftPpmError > 0 ? Math.abs(driftPpm) / driftPpmError : 0;
    }
}
