/**
 * Checks of an install to text, JSON and a sign-off sheet. In: {@link buswitness.plan.CheckState}. Out: bytes; same state,
 * same bytes. Threads: pure.
 */
package buswitness.report.check;
