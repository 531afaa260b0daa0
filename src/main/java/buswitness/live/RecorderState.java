package buswitness.live;

/**
 * How the recording itself fares.
 *
 * @param connected  the port is there
 * @param portShare  share of the port's speed used in the last second, 0 to 1; NaN where unknown
 * @param lostBlocks blocks of the probe that never arrived whole
 * @param gaps       stretches of which nothing is known
 * @param says       the last thing worth saying, or empty
 * @param silentSeconds how long nothing has come from the probe, which tells of itself every 50 ms
 */
public record RecorderState(boolean connected, double portShare, long lostBlocks, long gaps, String says,
                            double silentSeconds) {
    /** Before anything is known. */
    public static final RecorderState NONE = new RecorderState(true, Double.NaN, 0, 0, "", 0);
}
