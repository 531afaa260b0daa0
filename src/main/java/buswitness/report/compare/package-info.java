/**
 * Comparisons to text, JSON and HTML. In: {@link buswitness.compare.Comparison}. Out: bytes; same comparison, same bytes.
 * Threads: pure.
 */
package buswitness.report.compare;
