package buswitness.bits;

/**
 * Bit rate and polarity of asynchronous bytes. Active runs (start bits and zeros) are whole numbers of bits, at most
 * nine or ten; resting ones are not, since bytes may wait for one another. So the rate is sought on active runs alone: on
 * the true bit their lengths modulo one bit heap up near 0, and on its whole fractions; the longest such bit is taken.
 */
final class ByteRate {
    private static final double SLOWEST = 1_000;
    private static final double FASTEST = 130_000;
    private static final double STEP = 1.015;
    /** Longest active run of a byte, with room; a break is longer and left out. */
    private static final double LONGEST_RUN = 9.6;
    private static final int MOST_RUNS = 600;
    private static final int SEARCH_RUNS = 250;
    private static final int FEWEST_RUNS = 6;
    private static final double FEWEST_SCORE = 0.55;
    private static final double CHANCE = 1.5;
    private static final double SNAP = 0.015;
    /** In use for bytes on body buses, bit/s: LIN 2.x (2400, 9600, 10417, 19200, 20000), ISO 9141-2 (10400). */
    private static final double[] USUAL = {1_200, 2_400, 4_800, 9_600, 10_400, 10_417, 19_200, 20_000, 38_400};

    private final EdgeHead head;
    private final double given;
    private final double tickPicos;
    private final double[] run = new double[MOST_RUNS];
    private int runs;

    private double bit;
    private double asymmetry;
    private double jitter;

    /** @param given bits a second, or NaN to find them */
    ByteRate(EdgeHead head, double given, double tickPicos) {
        this.head = head;
        this.given = given;
        this.tickPicos = tickPicos;
    }

    LineFinding find() {
        double bestScore = -1;
        LineFinding best = null;
        for (int idle = 1; idle >= 0; idle--) {
            gather(1 - idle);
            double start = given > 0 ? 1e12 / given : search();
            if (Double.isNaN(start)) continue;
            refine(start);
            Silences silences = new Silences(head, bit);
            double score = score(bit) + (silences.idleLevel() == idle ? 1 : 0);
            if (score <= bestScore) continue;
            bestScore = score;
            double rate = given > 0 ? given : snap(1e12 / bit);
            double confidence = given > 0 ? 1 : Math.max(0, Math.min(1, score(bit))) * runs / (runs + 12.0);
            double sure = silences.idleLevel() == idle ? silences.confidence() : 0.5;
            best = new LineFinding("levels", rate, 1e12 / bit, confidence, given > 0, idle, sure, asymmetry, jitter,
                    tickPicos, runs, LineReader.GLITCH_SHARE * bit);
        }
        if (best != null) return best;
        return new LineFinding("levels", Double.NaN, Double.NaN, 0, false, head.spans() == 0 ? 1 : head.level(0), 0.5, 0,
                0, tickPicos, 0, 0);
    }

    /** Lengths of the first runs of one level; a change that comes at once is a glitch and is left to the fit. */
    private void gather(int active) {
        runs = 0;
        for (int span = 0; span < head.spans(); span++) {
            for (int i = head.from(span); i + 1 < head.until(span) && runs < MOST_RUNS; i++) {
                if (head.level[i] == active) run[runs++] = head.atPicos[i + 1] - head.atPicos[i];
            }
        }
    }

    private double search() {
        if (runs < FEWEST_RUNS) return Double.NaN;
        int steps = (int) Math.ceil(Math.log(FASTEST / SLOWEST) / Math.log(STEP)) + 1;
        double[] score = new double[steps];
        double best = 0;
        for (int i = 0; i < steps; i++) {
            score[i] = score(candidate(i));
            best = Math.max(best, score[i]);
        }
        if (best < FEWEST_SCORE) return Double.NaN;
        int at = 0;
        while (score[at] < 0.85 * best) at++;
        int within = (int) (Math.log(1.15) / Math.log(STEP));
        for (int i = at; i < Math.min(steps, at + within); i++) if (score[i] > score[at]) at = i;
        return candidate(at);
    }

    private static double candidate(int step) {
        return 1e12 / SLOWEST / Math.pow(STEP, step);
    }

    /** Mean cosine of the runs' phases, less what chance gives; 0 where the bit explains too few runs. */
    private double score(double candidate) {
        double sum = 0;
        int n = 0;
        int longer = 0;
        for (int i = 0; i < Math.min(runs, SEARCH_RUNS); i++) {
            double bits = run[i] / candidate;
            if (bits < LineReader.GLITCH_SHARE) continue;
            if (bits > LONGEST_RUN) {
                longer++;
                continue;
            }
            n++;
            sum += bits < 0.5 ? -1 : Math.cos(2 * Math.PI * bits);
        }
        if (n < FEWEST_RUNS || longer > n / 2) return 0;
        return sum / n - CHANCE / Math.sqrt(n) * 0.5;
    }

    /** Least squares of length on whole bits: the slope is the bit, the intercept the asymmetry. */
    private void refine(double start) {
        bit = start;
        asymmetry = jitter = 0;
        for (int round = 0; round < 3; round++) {
            double n = 0;
            double x = 0;
            double y = 0;
            double xx = 0;
            double xy = 0;
            double yy = 0;
            for (int i = 0; i < runs; i++) {
                double bits = (run[i] - asymmetry) / bit;
                double whole = Math.rint(bits);
                if (whole < 1 || bits > LONGEST_RUN || Math.abs(bits - whole) > 0.3) continue;
                double miss = run[i] - whole * start;
                n++;
                x += whole;
                y += miss;
                xx += whole * whole;
                xy += whole * miss;
                yy += miss * miss;
            }
            double spread = xx - x * x / n;
            if (n < FEWEST_RUNS || spread < 1) return;
            double slope = (xy - x * y / n) / spread;
            if (Math.abs(slope) > 0.04 * start) return;
            bit = start + slope;
            double level = (y - slope * x) / n;
            asymmetry = Math.max(-0.25 * bit, Math.min(0.25 * bit, level));
            jitter = Math.sqrt(Math.max(0, (yy - y * y / n - slope * slope * spread) / n));
        }
    }

    private static double snap(double bitsPerSecond) {
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
}
