package buswitness.map;

import buswitness.schema.Signal;

/**
 * A part of a payload. Bits are counted in the order sent, from 0.
 *
 * @param firstBit     lowest bit number it takes, also where its low byte comes first
 * @param width        bits, neighbouring constant ones that most likely belong to it included
 * @param lowByteFirst whole bytes, the low one sent first
 * @param signed       went through zero as two's complement does; false also where that was never seen
 * @param page         shown only with this page number; null where always
 * @param confidence   0 to 1 that kind and bounds are right, as measured on simulated buses
 * @param changingBits bits that were seen to change, of {@code width}
 * @param least        smallest number seen on the wire, sign applied
 * @param most         largest
 * @param detail       what more there is to say, such as the formula of a check sum; may be empty
 */
public record PayloadField(FieldKind kind, int firstBit, int width, boolean lowByteFirst, boolean signed,
                           Signal.Page page, double confidence, int changingBits, long least, long most,
                           String detail) {
    /** Behind the last bit. */
    public int endBit() {
        return firstBit + width;
    }

    /** As a signal that can be read from a payload. */
    public Signal signal(String name) {
        return new Signal(name, firstBit, width, lowByteFirst, signed, 1, 0, "", Double.NaN, page);
    }
}
