package buswitness.predict;

/**
 * Two descriptions that do not go together.
 *
 * @param key        the message; {@link buswitness.frames.MessageKey#UNKNOWN} where the whole bus is meant
 * @param first      who or which layout says the one
 * @param firstSays  what it says
 * @param second     who or which layout says the other
 * @param secondSays what it says
 */
public record Conflict(Kind kind, long key, String first, String firstSays, String second, String secondSays) {
    /** The words are those of the JSON. */
    public enum Kind {
        TWO_SENDERS("two senders"), TWO_MEANINGS("two meanings"), PERIOD("two periods"), LENGTH("two lengths"),
        RATE("two bit rates"), CODING("two line codings");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }
}
