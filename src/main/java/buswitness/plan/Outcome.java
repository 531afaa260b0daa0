package buswitness.plan;

/** What came of a judgement, a part or a step. {@code OPEN}: nobody has looked yet. The words are those of the JSON. */
public enum Outcome {
    PASS("pass"), FAIL("fail"), UNDECIDED("undecided"), OPEN("open");

    private final String text;

    Outcome(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }

    static Outcome of(String text) {
        for (Outcome o : values()) if (o.text.equals(text)) return o;
        throw new IllegalArgumentException(text);
    }

    /** Both together: a failure outweighs what is undecided, that outweighs what is open, and only then it passes. */
    public Outcome and(Outcome other) {
        if (this == FAIL || other == FAIL) return FAIL;
        if (this == UNDECIDED || other == UNDECIDED) return UNDECIDED;
        return this == OPEN || other == OPEN ? OPEN : PASS;
    }
}
