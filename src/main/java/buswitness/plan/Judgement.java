package buswitness.plan;

/**
 * One thing that was to be seen, and what was seen.
 *
 * @param what        what is judged, such as {@code coolant temperature}
 * @param expected    what must be seen, in words with units
 * @param measured    the value that decided, NaN where nothing could be measured
 * @param uncertainty its standard uncertainty, in the same unit; 0 where the value is exact (a count, a single bit)
 * @param unit        may be empty
 * @param outcome     {@code UNDECIDED} where twice the uncertainty straddles the limit, or the recording does not tell
 * @param fromSeconds where in the recording it was seen; NaN for what a person saw
 * @param untilSeconds likewise
 * @param says        one sentence
 */
public record Judgement(String what, String expected, double measured, double uncertainty, String unit,
                        Outcome outcome, double fromSeconds, double untilSeconds, String says) {}
