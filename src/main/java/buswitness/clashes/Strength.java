package buswitness.clashes;

/**
 * Turns figures into strengths (log10 of a likelihood ratio) that grow slowly, because real residuals have heavy tails
 * and a Gaussian tail would call everything certain.
 */
final class Strength {
    /** No single kind of evidence is believed beyond this, whatever the formula says. */
    static final double MOST = 12;
    /** A kind counts as strong from here: one in a thousand. */
    static final double STRONG = 3;
    private static final double FREEDOM = 5;

    private Strength() {}

    /** How far {@code z} standard errors speak against chance: the log density ratio of Student's t with 5 degrees. */
    static double ofDeviation(double z) {
        if (!(z > 0)) return 0;
        return Math.min(MOST, (FREEDOM + 1) / 2 * Math.log10(1 + z * z / FREEDOM));
    }

    /**
     * {@code hits} of {@code of} against a share that {@code baseHits} of {@code baseOf} set, no lower than 2 %. Only
     * half of the trials count, for neighbours are not independent.
     */
    static double ofShare(int hits, int of, int baseHits, int baseOf) {
        if (of == 0) return 0;
        double base = Math.max(0.02, (baseHits + 2.0) / (baseOf + 4.0));
        if (baseOf == 0) base = 0.1;
        double share = Math.min(0.999, (hits + 0.0) / of);
        if (share <= base) return 0;
        double ratio = share * Math.log10(share / base) + (1 - share) * Math.log10((1 - share) / (1 - base));
        return Math.min(MOST, 0.5 * of * ratio);
    }

    /** log10 of the number of ways to choose {@code some} of {@code all}. */
    static double logChoices(int all, int some) {
        double sum = 0;
        for (int i = 1; i <= some; i++) sum += Math.log10((all - some + i) / (double) i);
        return sum;
    }
}
