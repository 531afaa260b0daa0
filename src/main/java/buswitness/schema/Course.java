package buswitness.schema;

/** What a value does while driving, as a node sends it. Values in the signal's unit, times in seconds. */
public sealed interface Course {

    record Constant(double value) implements Course {}

    /** Moves slowly to and fro between the two, no faster than the signal's documented rate. */
    record Between(double low, double high) implements Course {}

    /**
     * @param atSeconds from the start of the drive, strictly ascending, at least one
     * @param values    as many
     * @param steps     each held until the next; else straight lines
     */
    record Points(double[] atSeconds, double[] values, boolean steps) implements Course {}

    /** 1 for the first {@code share} of each period, else 0. */
    record Blinking(double periodSeconds, double share) implements Course {}

    /** Goes up by one with every frame, modulo {@code modulo}. */
    record Counting(long modulo) implements Course {}
}
