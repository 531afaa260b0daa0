/**
 * Measures how often the product is right: random buses with known truth through simulator, decoder and the stages of
 * {@link buswitness.Analysis}, and windows of a recording known to be clean. In: a {@link
 * buswitness.calibrate.CalibrationPlan}. Out: tables as CSV and Markdown. Shares no rule with the detectors: it sees
 * their findings only. Threads: one bus, one thread; buses run side by side and the result does not depend on how many.
 */
package buswitness.calibrate;
