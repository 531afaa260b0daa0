package buswitness.capture;

/**
 * A tick as a fraction of picoseconds, so that times counted in ticks of, say, a 72 MHz timer (125000/9 ps) turn into
 * picoseconds and back without loss: {@code picos = n * num / den}, rounded half up.
 *
 * @param num 1 to 10^12
 * @param den 1 to 10^6
 */
record TickScale(long num, long den) {
    static final TickScale PICOS = new TickScale(1, 1);
    private static final long MOST_NUM = 1_000_000_000_000L;
    private static final long MOST_DEN = 1_000_000L;

    /** The simplest fraction that is this double, by continued fractions; {@link #PICOS} where none is found. */
    static TickScale of(double tickPicos) {
        double rest = tickPicos;
        long num = 1;
        long den = 0;
        long numBefore = 0;
        long denBefore = 1;
        for (int step = 0; step < 40; step++) {
            double whole = Math.floor(rest);
            if (whole > MOST_NUM) break;
            long nextNum = (long) whole * num + numBefore;
            long nextDen = (long) whole * den + denBefore;
            if (nextNum > MOST_NUM || nextDen > MOST_DEN || nextNum < 0 || nextDen < 0) break;
            numBefore = num;
            denBefore = den;
            num = nextNum;
            den = nextDen;
            if (num > 0 && Math.abs((double) num / den - tickPicos) <= Math.ulp(tickPicos)) {
                return new TickScale(num, den);
            }
            if (rest == whole) break;
            rest = 1 / (rest - whole);
        }
        return PICOS;
    }

    boolean sensible() {
        return num >= 1 && num <= MOST_NUM && den >= 1 && den <= MOST_DEN;
    }

    /** @return picoseconds, or -1 beyond what a long holds */
    long picos(long ticks) {
        if (den == 1) return ticks < 0 || ticks > Long.MAX_VALUE / num - 1 ? -1 : ticks * num;
        long whole = ticks / den;
        if (ticks < 0 || whole > Long.MAX_VALUE / num - 1) return -1;
        return whole * num + (2 * (ticks % den) * num + den) / (2 * den);
    }

    /** @return the ticks that turn back into exactly these picoseconds, or -1 where none do */
    long ticks(long picos) {
        if (picos / num > Long.MAX_VALUE / den - 1) return -1;
        long ticks = picos / num * den + (2 * (picos % num) * den + num) / (2 * num);
        return picos(ticks) == picos ? ticks : -1;
    }

    double picosPerTick() {
        return (double) num / den;
    }
}
