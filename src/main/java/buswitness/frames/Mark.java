package buswitness.frames;

/**
 * A label that somebody set while recording.
 *
 * @param atPicos when, from time zero
 * @param label   such as {@code ignition on}
 */
public record Mark(long atPicos, String label) {}
