package buswitness.instruments;

/** What the driver sees; the words are those of the JSON. */
public enum Symptom {
    NONE("none"), FLAPPING("flapping"), HELD("held"), DROPPED_OUT("dropped out"), STEADILY_WRONG("steadily wrong"),
    NEVER_LIT("never lit");

    private final String text;

    Symptom(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
