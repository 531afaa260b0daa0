package buswitness.map;

/**
 * Something done or seen while recording.
 *
 * @param what         such as {@code reverse} or {@code coolant gauge}
 * @param unit         of a reading, may be empty
 * @param state        true: something was on in between; false: a reading, or a ramp of readings
 * @param fromSeconds  from the recording's time zero
 * @param untilSeconds equal to {@code fromSeconds} for one reading; NaN where a state was not seen to end
 * @param value        the reading at the first instant; NaN for a state
 * @param untilValue   the reading at the second; straight between
 */
public record Deed(String what, String unit, boolean state, double fromSeconds, double untilSeconds, double value,
                   double untilValue) {}
