package buswitness.schema;

/**
 * A value inside a message. Bits are numbered in the order they are sent: bit 0 is the highest bit of the first byte.
 *
 * @param firstBit             first bit sent, from 0
 * @param width                1 to 64
 * @param lowByteFirst         a field of whole bytes whose low byte is sent first
 * @param signed               two's complement
 * @param factor               value = raw * factor + offset
 * @param unit                 may be empty
 * @param changesAtMostPerSecond the fastest the true quantity can move, in its unit per second; NaN where not known
 * @param page                 the value exists only on this page; null where it is always there
 */
public record Signal(String name, int firstBit, int width, boolean lowByteFirst, boolean signed, double factor,
                     double offset, String unit, double changesAtMostPerSecond, Page page) {

    /** The field at {@code firstBit}, {@code width} bits wide, must hold {@code value}. */
    public record Page(int firstBit, int width, long value) {}

    /**
     * The value in its unit; NaN where the payload is too short or another page is shown.
     *
     * @param length valid bytes in {@code data}
     */
    public double read(byte[] data, int length) {
        if ((firstBit + width + 7) / 8 > length) return Double.NaN;
        if (page != null) {
            if ((page.firstBit + page.width + 7) / 8 > length) return Double.NaN;
            if (bits(data, page.firstBit, page.width) != page.value) return Double.NaN;
        }
        return raw(data) * factor + offset;
    }

    /** Smallest and largest value that the field can carry, in its unit. */
    public double[] span() {
        double least = signed ? -Math.scalb(1.0, width - 1) : 0;
        double most = Math.scalb(1.0, signed ? width - 1 : width) - 1;
        double a = least * factor + offset;
        double b = most * factor + offset;
        return new double[] {Math.min(a, b), Math.max(a, b)};
    }

    /** The field as a whole number, sign applied. The payload must be long enough. */
    public long raw(byte[] data) {
        long value = bits(data, firstBit, width);
        if (lowByteFirst) value = Long.reverseBytes(value) >>> 64 - width;
        if (signed && width < 64 && (value >>> width - 1 & 1) != 0) value |= -1L << width;
        return value;
    }

    /** {@code width} bits from {@code first}, first bit sent highest. */
    private static long bits(byte[] data, int first, int width) {
        long value = 0;
        for (int i = first; i < first + width; i++) value = value << 1 | data[i >> 3] >> 7 - (i & 7) & 1;
        return value;
    }
}
