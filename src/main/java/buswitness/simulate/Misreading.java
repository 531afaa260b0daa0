package buswitness.simulate;

/**
 * A bit that one node reads wrongly, again and again.
 *
 * @param node        who
 * @param key         which message ({@code buswitness.frames.MessageKey}), or {@link #ANY_MESSAGE}
 * @param bit         from start of frame = 0, stuff bits left out; or {@link #ANY_BIT}: one bit of chance, in which a
 *                    recessive bit follows a dominant one
 * @param probability for each attempt to send the message, 0 to 1
 * @param kind        how
 */
public record Misreading(String node, long key, int bit, double probability, Kind kind) {
    public static final long ANY_MESSAGE = -1;
    public static final int ANY_BIT = -1;

    /** What goes wrong. */
    public enum Kind {
        /** The node, as a receiver, takes the bit for its opposite (a bad sample point). */
        RECEIVER,
        /** The node, sending a recessive bit, takes it for a dominant one, alone. */
        SENDER,
        /** The node, sending a recessive bit, lets go so late that everybody takes it for a dominant one. */
        SLOW_EDGE
    }
}
