package buswitness.probe;

/**
 * How full the port is, over a few seconds: what an interruption has held back comes in one burst and fills nothing, since a
 * port cannot carry more than its speed.
 */
final class Headroom {
    private static final int SECONDS = 4;

    private final double[] busy = new double[SECONDS];
    private final double[] length = new double[SECONDS];
    private int count;
    private double busiest;

    /** @param busySeconds time that the bytes took at the port's speed @param seconds in which they came, about 1 */
    void second(double busySeconds, double seconds) {
        busy[count % SECONDS] = busySeconds;
        length[count++ % SECONDS] = seconds;
        if (count >= SECONDS) busiest = Math.max(busiest, share());
    }

    /** Share of the port's speed used of late, 0 to 1 or little more; NaN where too little was seen to tell. */
    double share() {
        if (count < SECONDS) return Double.NaN;
        double b = 0;
        double l = 0;
        for (int i = 0; i < SECONDS; i++) {
            b += busy[i];
            l += length[i];
        }
        return b / l;
    }

    /** The largest share over a few seconds; of a recording too short for that, what it had. */
    double busiest() {
        if (count >= SECONDS || count == 0) return busiest;
        double b = 0;
        double l = 0;
        for (int i = 0; i < count; i++) {
            b += busy[i];
            l += length[i];
        }
        return b / l;
    }
}
