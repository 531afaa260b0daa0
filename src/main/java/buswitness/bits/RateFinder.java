package buswitness.bits;

/**
 * Bit rate, polarity and usual asymmetry from the head of a recording. Non-return-to-zero runs are whole numbers of
 * bits, so on the true bit length the run lengths modulo one bit heap up: the resultant of their phases (K. V. Mardia
 * and P. E. Jupp, Directional Statistics, 2000, clause 2.3) comes near 1. It does so on every whole fraction of the
 * bit as well, so the longest bit that fits is taken. Dominant and recessive runs are turned against each other by the
 * asymmetry, which is taken out first.
 */
final class RateFinder {
    static final double SLOWEST = 4_500;
    static final double FASTEST = 1_100_000;
    /** Step between candidates: 5 bits then miss by 4 % of a bit at most. */
    private static final double STEP = 1.015;
    /** Longest run inside a stuffed frame, with room for asymmetry. */
    private static final double LONGEST_RUN = 5.6;
    private static final int SEARCH_CHANGES = 2048;
    private static final int CHUNK = 256;
    private static final int FEWEST_RUNS = 8;
    private static final double CHANCE = 1.5;
    /** A measured rate so near to a usual one is taken for it (resonators are good to 0.5 %, both ends together). */
    private static final double SNAP = 0.015;
    /** Bit rates in use on body buses, bit/s: common practice, no source; 33.3, 83.3: SAE J2411; 125 k: ISO 11898-3. */
    private static final double[] USUAL = {5_000, 10_000, 10_400, 20_000, 25_000, 1e5 / 3, 40_000, 1e6 / 21, 50_000,
        62_500, 80_000, 1e6 / 12, 2e6 / 21, 100_000, 125_000, 200_000, 250_000, 400_000, 500_000, 1e6 * 2 / 3, 800_000,
        1_000_000};

    private final EdgeHead head;
    private final LineReader.Options options;
    private final int[] chunkFrom;
    private final int[] chunkUntil;
    private int chunks;

    RateFinder(EdgeHead head, LineReader.Options options) {
        this.head = head;
        this.options = options;
        int most = head.spans() + head.count / CHUNK + 2;
        chunkFrom = new int[most];
        chunkUntil = new int[most];
    }

    LineFinding find() {
        double tick = options.tickPicos() > 0 ? options.tickPicos() : head.commonTick();
        boolean given = options.bitsPerSecond() > 0;
        double bit = given ? 1e12 / options.bitsPerSecond() : Double.NaN;
        double confidence = given ? 1 : 0;
        if (!given) {
            cut(SEARCH_CHANGES);
            Candidate best = search();
            if (best != null) {
                bit = best.bit;
                confidence = best.confidence;
            }
        }
        cut(Integer.MAX_VALUE);
        if (Double.isNaN(bit)) {
            int idle = head.spans() == 0 ? 1 : head.level(0);
            return new LineFinding("nrz", Double.NaN, Double.NaN, 0, false, idle, 0.5, 0, 0, tick, 0, 0);
        }
        return measured(bit, given, confidence, tick);
    }

    private LineFinding measured(double bit, boolean given, double confidence, double tick) {
        double exact = bit;
        RunFit fit = fit(exact);
        for (int i = 0; i < 3 && fit.count() >= FEWEST_RUNS; i++) {
            double next = fit.measureBit();
            if (!(Math.abs(next / bit - 1) < 0.03)) break;
            exact = next;
            fit = fit(exact);
        }
        double rate = given ? options.bitsPerSecond() : snap(1e12 / exact);
        Silences silences = new Silences(head, exact);
        return new LineFinding("nrz", rate, 1e12 / exact, confidence, given, silences.idleLevel(),
                silences.confidence(), fit.asymmetry(silences.idleLevel()), fit.jitter(), tick, fit.count(),
                LineReader.GLITCH_SHARE * exact);
    }

    static double snap(double bitsPerSecond) {
        double nearest = bitsPerSecond;
        double distance = SNAP;
        for (double usual : USUAL) {
            double off = Math.abs(bitsPerSecond / usual - 1);
            if (off < distance) {
                distance = off;
                nearest = usual;
            }
        }
        return nearest;
    }

    private record Candidate(double bit, double confidence) {}

    private Candidate search() {
        int steps = (int) Math.ceil(Math.log(FASTEST / SLOWEST) / Math.log(STEP)) + 1;
        double[] score = new double[steps];
        double best = 0;
        for (int i = 0; i < steps; i++) {
            score[i] = surely(fit(bit(i)));
            best = Math.max(best, score[i]);
        }
        if (best < 0.4) return null;
        int at = 0;
        while (score[at] < 0.8 * best) at++;
        int within = (int) (Math.log(1.15) / Math.log(STEP));
        for (int i = at; i < Math.min(steps, at + within); i++) if (score[i] > score[at]) at = i;
        double runnerUp = 0.2;
        for (int i = 0; i < at - within; i++) runnerUp = Math.max(runnerUp, score[i]);
        int runs = fit(bit(at)).count();
        double margin = Math.max(0, Math.min(1, (score[at] - runnerUp) / 0.5));
        return new Candidate(bit(at), margin * runs / (runs + 12.0));
    }

    /** Phases at random have a resultant of about 1 / sqrt(runs): a long bit that leaves few runs fits by chance. */
    private static double surely(RunFit fit) {
        return fit.score() - CHANCE / Math.sqrt(Math.max(1, fit.count()));
    }

    private static double bit(int step) {
        return 1e12 / SLOWEST / Math.pow(STEP, step);
    }

    private RunFit fit(double bit) {
        RunFit fit = new RunFit(bit, LONGEST_RUN);
        GlitchFilter filter = new GlitchFilter((long) (LineReader.GLITCH_SHARE * bit));
        for (int c = 0; c < chunks; c++) {
            int from = chunkFrom[c];
            filter.begin(head.atPicos[from] - (long) (100 * bit), 1 - head.level[from]);
            filter.filter(head.atPicos, head.level, from, chunkUntil[c]);
            fit.add(filter.atPicos, filter.level, filter.count);
        }
        return fit;
    }

    /** Stretches to look at: everything, or pieces spread evenly over the head. */
    private void cut(int most) {
        chunks = 0;
        boolean all = head.count <= most;
        int every = all ? 1 : (int) Math.ceil((double) head.count / most);
        int piece = 0;
        for (int span = 0; span < head.spans(); span++) {
            if (all) {
                keep(head.from(span), head.until(span));
                continue;
            }
            for (int from = head.from(span); from < head.until(span); from += CHUNK) {
                if (piece++ % every == 0) keep(from, Math.min(head.until(span), from + CHUNK));
            }
        }
    }

    private void keep(int from, int until) {
        if (until - from < 2) return;
        chunkFrom[chunks] = from;
        chunkUntil[chunks++] = until;
    }
}
