package buswitness.probe;

/**
 * How a recording fares while it is taken.
 *
 * @param connected  the port is there
 * @param seconds    what is known so far
 * @param gaps       stretches of which nothing is known
 * @param lostBlocks blocks that did not arrive whole
 * @param portShare  share of the port's speed used in the last second, 0 to 1; NaN before the first
 * @param silentSeconds how long nothing has come from the probe; it tells of itself every 50 ms
 */
public record RecordStatus(boolean connected, double seconds, long gaps, long lostBlocks, double portShare,
                           double silentSeconds) {}
