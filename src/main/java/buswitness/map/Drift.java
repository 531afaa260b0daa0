package buswitness.map;

/**
 * A difference between a layout and what was recorded.
 *
 * @param side    which of the two has it
 * @param key     message
 * @param subject name of the message or value in the layout, or the identifier
 * @param says    one sentence
 * @param open    the recording is too short or too quiet to be sure: no difference yet
 */
public record Drift(Side side, long key, String subject, String says, boolean open) {
    /** Where the thing is to be found. */
    public enum Side { RECORDING, LAYOUT, BOTH }
}
