package buswitness.schema;

import java.util.List;

/**
 * What protects a frame: a field computed from others.
 *
 * @param field name of the field that holds it
 * @param from  first field it covers
 * @param until last field it covers
 * @param kind  how it is computed
 */
public record CheckFormat(String field, String from, String until, Kind kind) {

    public sealed interface Kind {
        /**
         * Cyclic redundancy check in the usual parameters (R. Williams, "A Painless Guide to CRC Error Detection
         * Algorithms", 1993).
         *
         * @param width      1 to 32 bits
         * @param polynomial without its highest term
         */
        record Crc(int width, long polynomial, long initial, boolean reflectIn, boolean reflectOut, long finalXor)
                implements Kind {}

        /**
         * Sum of bytes.
         *
         * @param endAroundCarry each carry out of the top is added at the bottom (LIN 2.2A, 2.8.3)
         * @param inverted       the complement is sent
         */
        record Sum(boolean endAroundCarry, boolean inverted) implements Kind {}

        /** All bytes combined by exclusive or. */
        record Xor(boolean inverted) implements Kind {}

        /**
         * Parity bits, the first the highest of the field.
         *
         * @param masks    one a bit: which bits of the covered field, as a number, count
         * @param inverted one a bit: whether the bit makes the count odd
         */
        record Parity(List<Long> masks, List<Boolean> inverted) implements Kind {
            public Parity {
                masks = List.copyOf(masks);
                inverted = List.copyOf(inverted);
            }
        }
    }
}
