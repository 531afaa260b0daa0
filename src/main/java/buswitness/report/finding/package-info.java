/**
 * Findings to text, JSON, CSV and HTML; a decoded line to a listing. In: {@link buswitness.Findings}. Out: bytes; same
 * findings, same bytes. Threads: pure.
 */
package buswitness.report.finding;
