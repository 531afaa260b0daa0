package buswitness.frames;

import buswitness.schema.CheckFormat.Kind;

/** What a check field must hold for the bits it covers. */
final class CheckValue {
    private CheckValue() {}

    /**
     * @param from  first bit covered
     * @param until one past the last
     * @param width bits of the field that holds the check
     */
    static long of(Kind kind, FrameBits bits, int from, int until, int width) {
        if (kind instanceof Kind.Crc crc) return crc(crc, bits, from, until);
        if (kind instanceof Kind.Sum sum) return sum(sum, bits, from, until, width);
        if (kind instanceof Kind.Xor xor) return xor(xor, bits, from, until, width);
        return parity((Kind.Parity) kind, bits, from, until);
    }

    /** Bit by bit (R. Williams, A Painless Guide to CRC Error Detection Algorithms, 1993). */
    private static long crc(Kind.Crc crc, FrameBits bits, int from, int until) {
        long top = 1L << crc.width() - 1;
        long mask = (top << 1) - 1;
        long register = crc.initial();
        for (int i = from; i < until; i++) {
            int at = i;
            if (crc.reflectIn()) {
                int group = from + (i - from) / 8 * 8;
                at = Math.min(group + 8, until) - 1 - (i - group);
            }
            boolean out = (register & top) != 0 ^ bits.get(at) == 1;
            register = register << 1 & mask;
            if (out) register ^= crc.polynomial();
        }
        if (crc.reflectOut()) register = Long.reverse(register) >>> 64 - crc.width();
        return register ^ crc.finalXor();
    }

    private static long sum(Kind.Sum sum, FrameBits bits, int from, int until, int width) {
        long mask = (1L << width) - 1;
        long total = 0;
        for (int at = from; at < until; at += 8) {
            total += bits.number(at, Math.min(8, until - at));
            if (total > mask) total = sum.endAroundCarry() ? (total & mask) + (total >>> width) : total & mask;
        }
        return sum.inverted() ? ~total & mask : total;
    }

    private static long xor(Kind.Xor xor, FrameBits bits, int from, int until, int width) {
        long total = 0;
        for (int at = from; at < until; at += 8) total ^= bits.number(at, Math.min(8, until - at));
        long mask = (1L << width) - 1;
        return (xor.inverted() ? ~total : total) & mask;
    }

    private static long parity(Kind.Parity parity, FrameBits bits, int from, int until) {
        long covered = bits.number(from, until - from);
        long value = 0;
        for (int i = 0; i < parity.masks().size(); i++) {
            int odd = Long.bitCount(covered & parity.masks().get(i)) & 1;
            value = value << 1 | (parity.inverted().get(i) ? 1 - odd : odd);
        }
        return value;
    }
}
