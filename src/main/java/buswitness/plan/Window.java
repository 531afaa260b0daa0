package buswitness.plan;

/**
 * The part of a recording that a step looks at.
 *
 * @param fromMark      begins at this mark; null for {@code fromSeconds}
 * @param fromSeconds   seconds from the recording's start, where there is no mark
 * @param settleSeconds left out after the beginning
 * @param untilMark     ends at the first mark of this name after the beginning; null for none
 * @param untilSeconds  NaN for none
 * @param forSeconds    ends so long after its beginning (settling time included); NaN for none
 * @param markSeconds   standard uncertainty of the instant of a mark
 */
public record Window(String fromMark, double fromSeconds, double settleSeconds, String untilMark,
                     double untilSeconds, double forSeconds, double markSeconds) {
    /** The whole recording. */
    public static final Window ALL = new Window(null, 0, 0, null, Double.NaN, Double.NaN, 0);
    /** Somebody presses a key when something happens: about a fifth of a second (common practice, no source). */
    static final double BY_HAND_SECONDS = 0.2;
}
