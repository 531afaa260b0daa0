/**
 * What will happen when these nodes share one bus, and which remedy works. In: layouts. Out: a {@link
 * buswitness.predict.Forecast}: conflicts on paper, load and response times, simulated drives, remedies tried.
 * Only the simulator knows who sends a frame here; instruments are judged as {@code prove} judges them.
 * Threads: pure; the forecast is immutable. Same layouts and options, same forecast.
 */
package buswitness.predict;
