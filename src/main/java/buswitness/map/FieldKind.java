package buswitness.map;

/** What a part of a payload is. */
public enum FieldKind {
    CONSTANT("constant"), FLAG("flag"), COUNTER("counter"), CHECK("check sum"), VALUE("value"), PAGE("page number");

    private final String text;

    FieldKind(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
