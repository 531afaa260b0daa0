package buswitness.schema;

import java.util.List;
import java.util.Map;
import java.util.function.ToLongFunction;

/**
 * One field of a frame. Bits are counted in the order in which the number is written (highest first), whatever order the
 * wire has; on a bus of bytes every byte of a frame is filled by whole fields.
 *
 * @param name     unique in the format
 * @param bits     width where it is fixed; for a field of counted or open length the width of one element (8)
 * @param length   how many elements; {@link Length.One} for a plain field
 * @param constant value it always has, or -1
 * @param when     present where any of these holds; empty for always
 */
public record FieldFormat(String name, int bits, Length length, long constant, List<When> when) {
    public FieldFormat {
        when = List.copyOf(when);
    }

    /** How many elements of {@link FieldFormat#bits} follow one another. */
    public sealed interface Length {
        /** Exactly one. */
        record One() implements Length {}

        /**
         * As many as an earlier field tells.
         *
         * @param fields   its name; of several, the last that is present
         * @param table    elements by value of that field; empty: value plus {@code plus}
         * @param plus     added to the value
         */
        record Counted(List<String> fields, List<Integer> table, int plus) implements Length {
            public Counted {
                fields = List.copyOf(fields);
                table = List.copyOf(table);
            }
        }

        /** All that comes until the frame ends, less what the fields after it need. */
        record Rest(int most) implements Length {}
    }

    /** Each of these earlier fields is present and has one of the values beside it. */
    public record When(Map<String, List<Long>> values) {
        public When {
            values = Map.copyOf(values);
        }
    }

    /** A plain field. */
    public static FieldFormat fixed(String name, int bits) {
        return new FieldFormat(name, bits, new Length.One(), -1, List.of());
    }

    /** A field that always has the same value. */
    public static FieldFormat constant(String name, int bits, long value) {
        return new FieldFormat(name, bits, new Length.One(), value, List.of());
    }

    /** Whether the field is there in a frame. @param valueOf an earlier field's value by its name, or -1 where absent */
    public boolean isPresent(ToLongFunction<String> valueOf) {
        if (when.isEmpty()) return true;
        for (When any : when) {
            boolean all = true;
            for (Map.Entry<String, List<Long>> one : any.values().entrySet()) {
                all &= one.getValue().contains(valueOf.applyAsLong(one.getKey()));
            }
            if (all) return true;
        }
        return false;
    }

    public boolean isConstant() {
        return constant >= 0;
    }
}
