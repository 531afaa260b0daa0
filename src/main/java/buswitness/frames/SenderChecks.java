package buswitness.frames;

import buswitness.schema.CheckFormat;

/** What a sender puts into a check field, computed bit by bit; the decoders compute theirs in a way of their own. */
final class SenderChecks {
    private SenderChecks() {}

    /**
     * @param span  the bits covered, in the order sent, each number highest bit first
     * @param width of the check field
     */
    static long of(CheckFormat.Kind kind, BitString span, int width) {
        long mask = width >= 64 ? -1 : (1L << width) - 1;
        if (kind instanceof CheckFormat.Kind.Crc crc) return crc(crc, span) & mask;
        if (kind instanceof CheckFormat.Kind.Sum sum) return sum(sum, span, width) & mask;
        if (kind instanceof CheckFormat.Kind.Xor xor) {
            long value = 0;
            for (int at = 0; at < span.size(); at += 8) value ^= octet(span, at);
            return (xor.inverted() ? ~value : value) & mask;
        }
        return parity((CheckFormat.Kind.Parity) kind, span);
    }

    /** Eight bits, the last ones filled up with zeros. */
    private static long octet(BitString span, int at) {
        long value = 0;
        for (int i = at; i < at + 8; i++) value = value << 1 | (i < span.size() ? span.get(i) : 0);
        return value;
    }

    /** Shift register, highest bit first; reflected input takes each whole byte lowest bit first (Williams 1993). */
    private static long crc(CheckFormat.Kind.Crc crc, BitString span) {
        long top = 1L << crc.width() - 1;
        long register = crc.initial();
        for (int i = 0; i < span.size(); i++) {
            int at = crc.reflectIn() ? (i & ~7) + 7 - (i & 7) : i;
            boolean one = (register & top) != 0 ^ span.get(at) != 0;
            register = register << 1 & (top << 1) - 1;
            if (one) register ^= crc.polynomial();
        }
        if (crc.reflectOut()) register = Long.reverse(register) >>> 64 - crc.width();
        return register ^ crc.finalXor();
    }

    private static long sum(CheckFormat.Kind.Sum sum, BitString span, int width) {
        long most = 1L << width;
        long value = 0;
        for (int at = 0; at < span.size(); at += 8) {
            value += octet(span, at);
            if (sum.endAroundCarry() && value >= most) value -= most - 1;
        }
        return sum.inverted() ? ~value : value;
    }

    private static long parity(CheckFormat.Kind.Parity parity, BitString span) {
        long covered = span.number(0, Math.min(63, span.size()));
        long value = 0;
        for (int i = 0; i < parity.masks().size(); i++) {
            int bit = Long.bitCount(covered & parity.masks().get(i)) & 1;
            value = value << 1 | (parity.inverted().get(i) ? 1 - bit : bit);
        }
        return value;
    }
}
