package buswitness.instruments;

/** Why the driver sees it; the words are those of the JSON. */
public enum Cause {
    TWO_SENDERS("two senders"), DAMAGED_BY_TWO_SENDERS("damaged by two senders"), OWN_READING("own reading"),
    RESTARTS("restarts"), DISTURBANCE("disturbance"), MISSING_FRAMES("missing frames"), BLINKING("blinking"),
    UNDECIDED("undecided"), NONE("none");

    private final String text;

    Cause(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
