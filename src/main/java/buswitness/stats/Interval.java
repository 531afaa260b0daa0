package buswitness.stats;

/** From {@code low} to {@code high}, both ends included. */
public record Interval(double low, double high) {
    /**
     * Wilson score interval of a share (E. B. Wilson, JASA 22, 1927, 209-212).
     *
     * @param hits   0 to {@code trials}
     * @param trials at least 1
     * @param z      half width in standard deviations, 1.96 for 95 %
     */
    public static Interval wilson(long hits, long trials, double z) {
        if (trials < 1 || hits < 0 || hits > trials) {
            throw new IllegalArgumentException(hits + " hits of " + trials + " trials");
        }
        double p = (double) hits / trials;
        double zz = z * z / trials;
        double centre = (p + zz / 2) / (1 + zz);
        double half = z / (1 + zz) * Math.sqrt(p * (1 - p) / trials + zz / (4 * trials));
        return new Interval(hits == 0 ? 0 : Math.max(0, centre - half), hits == trials ? 1
                : Math.min(1, centre + half));
    }
}
