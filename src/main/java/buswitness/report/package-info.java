/**
 * Results to bytes, one package a result; see {@code package-info} of each. No analysis and no clock in here: the same
 * results give the same bytes. All use {@code parts}, none uses another. Threads: pure.
 */
package buswitness.report;
