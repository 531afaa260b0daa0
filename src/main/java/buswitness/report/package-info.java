/**
 * Findings to text, JSON, CSV and HTML. In: {@link buswitness.Findings}. Out: bytes; same findings, same bytes. No
 * analysis and no clock in here. Threads: pure.
 */
package buswitness.report;
