package buswitness.map;

/** What a part of a payload is. */
public enum FieldKind {
    CONSTANT("constant"), FLAG("flag"), COUNTER("counter"), CHECK("check sum"), VALUE("value"), PAGE("page number"),
    /** Bits that change, too seldom to say how they divide. */
    UNCLEAR("unclear");

    private final String text;

    FieldKind(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
