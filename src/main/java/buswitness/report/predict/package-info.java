/**
 * Forecasts to text, JSON and HTML. In: {@link buswitness.predict.Forecast}. Out: bytes; same forecast, same bytes.
 * Threads: pure.
 */
package buswitness.report.predict;
