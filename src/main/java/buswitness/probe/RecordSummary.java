package buswitness.probe;

/**
 * What was recorded.
 *
 * @param seconds       length of the recording
 * @param changes       level changes
 * @param gaps          stretches of which nothing is known
 * @param damagedBlocks blocks that arrived altered
 * @param lostBlocks    blocks missing in the count, the altered ones among them
 * @param busiestShare  largest share of the port's speed used in one second, 0 to 1
 */
public record RecordSummary(double seconds, long changes, long gaps, long damagedBlocks, long lostBlocks,
                            double busiestShare) {}
