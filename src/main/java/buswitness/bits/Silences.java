package buswitness.bits;

/** Which level the line rests at: the one that holds the silences. Inside a frame neither level lasts so long. */
final class Silences {
    static final double SHORTEST = 6.5;
    /** A longer silence says no more than one of so many bits. */
    private static final double LONGEST = 40;

    private final double[] weight = new double[2];
    private final int first;

    Silences(EdgeHead head, double bitPicos) {
        this(head, bitPicos, bitPicos);
    }

    /** @param shortestPicos length of the shortest bit where there are several: less is a glitch */
    Silences(EdgeHead head, double bitPicos, double shortestPicos) {
        first = head.spans() == 0 ? 1 : head.level(0);
        GlitchFilter filter = new GlitchFilter((long) (LineReader.GLITCH_SHARE * shortestPicos));
        for (int span = 0; span < head.spans(); span++) {
            filter.begin(head.begin(span), head.level(span));
            filter.filter(head.atPicos, head.level, head.from(span), head.until(span));
            long at = head.begin(span);
            int level = head.level(span);
            for (int half = 0; half < 2; half++) {
                for (int i = 0; i < filter.count; i++) {
                    add(level, (filter.atPicos[i] - at) / bitPicos);
                    at = filter.atPicos[i];
                    level = filter.level[i];
                }
                if (half == 0) filter.stop(head.stop(span));
            }
            add(level, (head.stop(span) - at) / bitPicos);
        }
    }

    private void add(int level, double bits) {
        // Squared, so that the eleven bits between frames outweigh flags of six and more.
        if (bits > SHORTEST) weight[level] += Math.min(bits, LONGEST) * Math.min(bits, LONGEST);
    }

    int idleLevel() {
        if (weight[0] == weight[1]) return first;
        return weight[1] > weight[0] ? 1 : 0;
    }

    /** 0.5 to 1. */
    double confidence() {
        double sum = weight[0] + weight[1];
        return sum == 0 ? 0.5 : Math.max(weight[0], weight[1]) / sum;
    }
}
