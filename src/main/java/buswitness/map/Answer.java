package buswitness.map;

/**
 * One message that follows another at a fixed time, more often than chance allows.
 *
 * @param asks         the message that goes first, or its remote request
 * @param answers      the one that follows
 * @param remote       a remote request asks
 * @param delaySeconds median from the end of the one to the start of the other
 * @param spreadSeconds scatter of that, one standard deviation
 * @param followed     frames of {@code answers} that follow so, of {@code frames}
 * @param asked        share of {@code asks} that are followed
 * @param logChance    log10 of the chance of so many, the number of pairs tried included
 */
public record Answer(long asks, long answers, boolean remote, double delaySeconds, double spreadSeconds, int followed,
                     int frames, double asked, double logChance) {}
