package buswitness.predict;

import buswitness.schema.Signal;

/** Whether two descriptions of bits mean the same. */
final class Meaning {
    private Meaning() {}

    /** The two share a bit of the payload, and no page keeps them apart. */
    static boolean overlap(Signal a, Signal b) {
        if (a.firstBit() + a.width() <= b.firstBit() || b.firstBit() + b.width() <= a.firstBit()) return false;
        boolean turns = a.page() != null && b.page() != null && a.page().firstBit() == b.page().firstBit()
                && a.page().width() == b.page().width() && a.page().value() != b.page().value();
        return !turns;
    }

    /** Same name, bits, order, sign and scale. How fast it may change, and its unit's spelling, do not matter. */
    static boolean same(Signal a, Signal b) {
        return a.name().equals(b.name()) && a.firstBit() == b.firstBit() && a.width() == b.width()
                && a.lowByteFirst() == b.lowByteFirst() && a.signed() == b.signed() && a.factor() == b.factor()
                && a.offset() == b.offset() && (a.page() == null ? b.page() == null : a.page().equals(b.page()));
    }

    static String text(Signal s) {
        StringBuilder text = new StringBuilder(s.name()).append(s.width() == 1 ? ", bit " + s.firstBit()
                : ", bits " + s.firstBit() + ".." + (s.firstBit() + s.width() - 1));
        if (s.factor() != 1) text.append(", factor ").append(plain(s.factor()));
        if (s.offset() != 0) text.append(", offset ").append(plain(s.offset()));
        if (s.signed()) text.append(", signed");
        if (s.lowByteFirst()) text.append(", low byte first");
        if (s.page() != null) text.append(", page ").append(s.page().value());
        return text.toString();
    }

    private static String plain(double value) {
        return new java.math.BigDecimal(String.valueOf(value)).stripTrailingZeros().toPlainString();
    }
}
