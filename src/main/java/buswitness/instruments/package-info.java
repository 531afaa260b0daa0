/**
 * What the driver sees: needles and lamps replayed, flapping found, measured and explained.
 * In: frames, verdicts, the layout's instruments. Out: {@link buswitness.instruments.InstrumentFindings}.
 * Threads: pure; the findings are immutable.
 */
package buswitness.instruments;
