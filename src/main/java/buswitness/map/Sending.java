package buswitness.map;

/** When a message goes out. */
public enum Sending {
    CYCLIC("cyclic"), ON_EVENT("on event"), BOTH("cyclic and on event"), UNKNOWN("too few frames to tell");

    private final String text;

    Sending(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
