/**
 * Is one message sent by two nodes? Evidence of several kinds weighed to a verdict, head-on collisions rebuilt.
 * In: frames and sender findings. Out: {@link buswitness.clashes.ClashFindings}: a verdict per message with its
 * evidence, collisions, and what recording would decide where undecided. Threads: pure; the findings are immutable.
 */
package buswitness.clashes;
