package buswitness.predict;

import buswitness.schema.Instrument;
import java.util.List;

/**
 * Who tells an instrument what to show, on paper.
 *
 * @param carriers nodes that send its message with its very value
 * @param others   nodes that send its message with something else, or nothing, where the value belongs
 */
public record Supply(Instrument instrument, Kind kind, List<String> carriers, List<String> others) {
    /** The words are those of the JSON. */
    public enum Kind {
        /** Nobody sends its message. */
        NONE("no sender"),
        /** Its message comes, but nobody fills its value. */
        UNFILLED("value not filled"),
        ONE("one sender"),
        TWO("two senders"),
        /** A wire of its own feeds it. */
        WIRE("own wire");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    public Supply {
        carriers = List.copyOf(carriers);
        others = List.copyOf(others);
    }

    /** Whether the bus leaves it without its value. */
    public boolean missing() {
        return kind == Kind.NONE || kind == Kind.UNFILLED;
    }
}
