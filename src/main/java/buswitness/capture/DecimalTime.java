package buswitness.capture;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;

/**
 * Reads a decimal time from bytes without passing through binary fractions: every digit down to the picosecond is
 * kept, anything finer is rounded half up. Reused; holds the last value read. A whole part and picoseconds apart, so
 * that seconds since some distant year fit too.
 */
final class DecimalTime {
    /** A time that {@link #picosFrom} cannot express; about 106 days from time zero. */
    static final long TOO_FAR = Long.MIN_VALUE;
    private static final long[] TEN = new long[19];

    static {
        TEN[0] = 1;
        for (int i = 1; i < TEN.length; i++) TEN[i] = TEN[i - 1] * 10;
    }

    /** Units before the point; negative for times before zero. */
    long whole;
    /** Picoseconds behind the point, of the same sign as the value. */
    long picos;
    /** Digits behind the point as written, an exponent counted in. */
    int decimals;

    private boolean beyond;
    private final int unitDigits;
    private final long unitPicos;

    /** @param unitPicos picoseconds in a unit: a power of ten up to 10^12 */
    DecimalTime(long unitPicos) {
        int digits = 0;
        while (TEN[digits] < unitPicos) digits++;
        if (TEN[digits] != unitPicos) throw new IllegalArgumentException("not a power of ten: " + unitPicos);
        this.unitDigits = digits;
        this.unitPicos = unitPicos;
    }

    /** Reads {@code [+-]digits[.digits][e[+-]digits]} filling the range exactly. @return false where it does not */
    boolean read(byte[] b, int from, int to) {
        beyond = false;
        int i = from;
        boolean negative = i < to && b[i] == '-';
        if (i < to && (b[i] == '-' || b[i] == '+')) i++;
        int start = i;
        long units = 0;
        while (i < to && b[i] >= '0' && b[i] <= '9') units = units * 10 + (b[i++] - '0');
        int wholeDigits = i - start;
        if (i == to && wholeDigits > 0 && wholeDigits <= 18) {
            whole = negative ? -units : units;
            picos = 0;
            decimals = 0;
            return true;
        }
        long fraction = 0;
        int taken = 0;
        boolean roundUp = false;
        int point = i;
        if (i < to && b[i] == '.') {
            point = ++i;
            while (i < to && b[i] >= '0' && b[i] <= '9') {
                int digit = b[i++] - '0';
                if (taken < unitDigits) {
                    fraction = fraction * 10 + digit;
                    taken++;
                } else if (i - point == unitDigits + 1) {
                    roundUp = digit >= 5;
                }
            }
        }
        int fractionDigits = i - point;
        if (wholeDigits + fractionDigits == 0) return false;
        if (i != to || wholeDigits > 18) return readSlowly(b, from, to);
        decimals = fractionDigits;
        fraction = fraction * TEN[unitDigits - taken] + (roundUp ? 1 : 0);
        whole = negative ? -units : units;
        picos = negative ? -fraction : fraction;
        return true;
    }

    /** Exponents and more digits than a long holds. */
    private boolean readSlowly(byte[] b, int from, int to) {
        if (to - from > 64) return false;
        BigDecimal value;
        try {
            value = new BigDecimal(new String(b, from, to - from, StandardCharsets.US_ASCII));
        } catch (NumberFormatException e) {
            return false;
        }
        if (value.scale() < -40 || value.scale() > 400) return false;
        decimals = Math.max(0, value.scale());
        BigInteger all = value.movePointRight(unitDigits).setScale(0, RoundingMode.HALF_UP).toBigInteger();
        BigInteger[] parts = all.divideAndRemainder(BigInteger.valueOf(unitPicos));
        beyond = parts[0].bitLength() > 60;
        if (beyond) return true;
        whole = parts[0].longValueExact();
        picos = parts[1].longValueExact();
        return true;
    }

    /** Picoseconds of the value read since a zero of the same unit; {@link #TOO_FAR} beyond what a long holds. */
    long picosFrom(long zeroWhole, long zeroPicos) {
        long units = whole - zeroWhole;
        long most = Long.MAX_VALUE / unitPicos - 1;
        if (beyond || units > most || units < -most) return TOO_FAR;
        return units * unitPicos + (picos - zeroPicos);
    }

    /**
     * Decimals that the last value tells: those written, but where more are written than a picosecond needs, as
     * programs print binary fractions (0.0008960000000000002), those that remain after rounding to it.
     */
    int tellingDecimals() {
        if (decimals <= unitDigits) return decimals;
        int digits = unitDigits;
        for (long rest = picos; digits > 0 && rest % 10 == 0; rest /= 10) digits--;
        return digits;
    }
}
