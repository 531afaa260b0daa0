package buswitness.simulate;

import buswitness.schema.Signal;

/**
 * One signal of a message and what it shows.
 *
 * @param startValue shown instead for a while after a boot; NaN for none
 */
public record Field(Signal signal, ValueSource source, double startValue) {
    public static Field of(Signal signal, ValueSource source) {
        return new Field(signal, source, Double.NaN);
    }

    /** A field without papers: {@code width} bits from {@code firstBit}, in sending order, shown as they are. */
    public static Field of(int firstBit, int width, ValueSource source) {
        return of(new Signal("", firstBit, width, false, false, 1, 0, "", Double.NaN, null), source);
    }
}
