package buswitness;

/**
 * A label that someone set while recording.
 *
 * @param atPicos from the recording's time zero
 * @param label   as it was typed
 */
public record Mark(long atPicos, String label) {}
