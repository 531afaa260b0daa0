package buswitness.clashes;

/** Per message. {@code UNDECIDED} is an honest answer and comes with the recording that would decide. */
public enum Verdict {
    ONE_SENDER("one sender"), TWO_SENDERS("two senders"), UNDECIDED("undecided");

    private final String text;

    Verdict(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
