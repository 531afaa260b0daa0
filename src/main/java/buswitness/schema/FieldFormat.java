package buswitness.schema;

import java.util.List;

/**
 * One field of a frame. Bits are counted in the order in which the number is written (highest first), whatever order the
 * wire has; on a bus of bytes every byte of a frame is filled by whole fields.
 *
 * @param name     unique in the format
 * @param bits     width where it is fixed; for a field of counted or open length the width of one element (8)
 * @param length   how many elements; {@link Length.One} for a plain field
 * @param constant value it always has, or -1
 * @param when     present only then, or null for always
 */
public record FieldFormat(String name, int bits, Length length, long constant, When when) {

    /** How many elements of {@link FieldFormat#bits} follow one another. */
    public sealed interface Length {
        /** Exactly one. */
        record One() implements Length {}

        /**
         * As many as an earlier field tells.
         *
         * @param field    its name
         * @param table    elements by value of that field; empty: value plus {@code plus}
         * @param plus     added to the value
         */
        record Counted(String field, List<Integer> table, int plus) implements Length {
            public Counted {
                table = List.copyOf(table);
            }
        }

        /** All that comes until the frame ends, less what the fields after it need. */
        record Rest(int most) implements Length {}
    }

    /** Present only where an earlier field has one of these values. */
    public record When(String field, List<Long> values) {
        public When {
            values = List.copyOf(values);
        }
    }

    /** A plain field. */
    public static FieldFormat fixed(String name, int bits) {
        return new FieldFormat(name, bits, new Length.One(), -1, null);
    }

    /** A field that always has the same value. */
    public static FieldFormat constant(String name, int bits, long value) {
        return new FieldFormat(name, bits, new Length.One(), value, null);
    }

    public boolean isConstant() {
        return constant >= 0;
    }
}
