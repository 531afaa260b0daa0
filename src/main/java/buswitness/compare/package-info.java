/**
 * What changed between two recordings, or between two layouts. In: two {@link buswitness.Findings}, or two layouts. Out:
 * a {@link buswitness.compare.Comparison}: each difference with its standard error, and which of them chance does not
 * explain, all comparisons taken together. Threads: static and pure.
 */
package buswitness.compare;
