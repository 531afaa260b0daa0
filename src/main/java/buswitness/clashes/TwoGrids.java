package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.List;

/**
 * Two transmitters within one answer on a bus of bytes, seen by their edges alone. Nodes that answer one header begin at
 * their own times; where these differ by part of a bit, the bytes that both send have edges on two bit grids, the second as
 * much later in every answer, while edges of the first go on. One node's edges lie on one grid: a pause within a byte makes
 * all later ones late, a clock that is off moves them evenly, slow edges move those of one direction, and interference falls
 * anywhere.
 */
final class TwoGrids {
    private static final double ON_GRID = 0.035;
    /** Nearer than this to the first grid, edges cannot be told from it. */
    private static final double NEAREST = 0.06;
    /** From here on edges of the other direction count too: no slope of an edge takes so much of a bit. */
    private static final double FAR = 0.25;
    private static final double FAR_ON_GRID = 0.2;
    /** What edges of one direction, and of both, may differ by the tick and by slopes. */
    private static final double ROOM = 0.04;
    private static final double ROOM_OF_A_SLOPE = 0.15;
    private static final double WINDOW = 0.04;
    private static final double STEP = 0.02;
    /** A slave's clock against the line's mean: within 2 % (LIN 2.1, 6.3; from memory). */
    private static final double CLOCK = 0.02;
    private static final double CLOCK_STEP = 0.0005;
    /** Of the second clock against the first, which fits best is chosen too. */
    private static final double APART_STEP = 0.002;
    /** Which delay and clock fit best was chosen after the fact: about so many that are unlike. */
    private static final double LOG_CHOICES = 2.5;
    private static final int FEWEST = 8;
    private static final int FEWEST_OF_A_PLACE = 3;
    private static final double CONCLUSIVE_SHARE = 0.6;
    private static final int PLACES = 16;

    private final FrameLog log;
    private final int answers;
    /** Damaged answers, and for each the edges that lie off the first grid although edges on it follow, in bits. */
    private final List<Integer> frames = new ArrayList<>();
    private final List<double[]> between = new ArrayList<>();
    private double clock;
    private double delay;
    private double apart;
    private int hits;

    private TwoGrids(MessageView view) {
        log = view.log;
        answers = view.damagedCount;
        List<Integer> damaged = new ArrayList<>();
        for (int k = 0; k < view.damagedCount; k++) {
            if (log.gridEdges(view.damaged[k]) != null) damaged.add(view.damaged[k]);
        }
        if (damaged.size() < FEWEST) return;
        clock = clockOf(damaged);
        for (int frame : damaged) {
            double[] edges = between(log.gridEdges(frame));
            if (edges.length == 0) continue;
            frames.add(frame);
            between.add(edges);
        }
    }

    /** Null where too few answers show edges between the lines, or these lie anywhere. */
    static Evidence of(MessageView view) {
        if (!view.meant.isOfBytes() || view.shared != null) return null;
        TwoGrids grids = new TwoGrids(view);
        return grids.frames.size() < FEWEST ? null : grids.evidence();
    }

    private static double bits(short edge) {
        return (edge & FrameLog.ENDS_ACTIVE - 1) / (double) FrameLog.PARTS_OF_A_BIT;
    }

    private static boolean endsActive(short edge) {
        return (edge & FrameLog.ENDS_ACTIVE) != 0;
    }

    /** By how much each bit is longer than the line's mean, as most edges to active say. */
    private double clockOf(List<Integer> damaged) {
        double best = 0;
        int most = -1;
        for (double c = -CLOCK; c <= CLOCK; c += CLOCK_STEP) {
            int n = 0;
            for (int frame : damaged) {
                for (short edge : log.gridEdges(frame)) {
                    if (edge != FrameLog.BYTE_BEGINS && !endsActive(edge) && Math.abs(off(bits(edge), c)) <= ON_GRID) n++;
                }
            }
            if (n <= most) continue;
            most = n;
            best = c;
        }
        return best;
    }

    /** Distance from the nearest line of a grid whose bits are longer by {@code c}, in bits, -0.5 to 0.5. */
    private static double off(double bits, double c) {
        double own = bits / (1 + c);
        return own - Math.rint(own);
    }

    /** Edges off the first grid, within bytes whose later edges lie on it. */
    private double[] between(short[] edges) {
        double[] out = new double[edges.length];
        int n = 0;
        for (int i = 0; i < edges.length; i++) {
            if (edges[i] == FrameLog.BYTE_BEGINS) continue;
            double off = Math.abs(off(bits(edges[i]), clock));
            if (off < (endsActive(edges[i]) ? FAR : NEAREST) || !goesOn(edges, i, off >= FAR)) continue;
            out[n++] = bits(edges[i]) / (1 + clock);
        }
        return java.util.Arrays.copyOf(out, n);
    }

    private boolean goesOn(short[] edges, int at, boolean far) {
        for (int k = at + 1; k < edges.length && edges[k] != FrameLog.BYTE_BEGINS; k++) {
            double off = Math.abs(off(bits(edges[k]), clock));
            boolean same = endsActive(edges[k]) == endsActive(edges[at]);
            // Of the same direction, so that a slow edge explains nothing; far off the grid the other one will do.
            boolean onGrid = same ? off <= (endsActive(edges[k]) ? FAR_ON_GRID : ON_GRID)
                    : far && endsActive(edges[k]) && off <= FAR_ON_GRID;
            if (onGrid && comesBack(bits(edges[at]), bits(edges[k]), same ? ROOM : ROOM_OF_A_SLOPE)) return true;
        }
        return false;
    }

    /**
     * Whether a later edge is less late than one before it, by more than a clock can make up: one node's delays only grow
     * within a byte, and an edge that is late by nearly a bit may be one that a fast clock made early.
     */
    private static boolean comesBack(double before, double after, double room) {
        double late = before - Math.floor(before);
        double lateAfter = after - Math.rint(after);
        return late - lateAfter > CLOCK * (after - before) + room && 1 - late > CLOCK * before + room;
    }

    private Evidence evidence() {
        for (double a = -CLOCK; a <= CLOCK; a += APART_STEP) {
            for (double d = NEAREST; d <= 1 - NEAREST; d += STEP) {
                int n = 0;
                for (double[] edges : between) if (places(edges, d, a) != 0) n++;
                if (n <= hits) continue;
                hits = n;
                delay = d;
                apart = a;
            }
        }
        double chance = 0;
        for (double[] edges : between) chance += 1 - Math.pow(1 - 2 * WINDOW / (1 - 2 * NEAREST), edges.length);
        double base = chance / between.size();
        double share = Math.min(0.999, (double) hits / between.size());
        if (hits < FEWEST || share <= base) return null;
        double ratio = share * Math.log10(share / base) + (1 - share) * Math.log10((1 - share) / (1 - base));
        double strength = Math.max(0, Math.min(Strength.MOST, 0.5 * between.size() * ratio - LOG_CHOICES));
        int places = distinctPlaces();
        boolean conclusive = strength >= Strength.STRONG + 1 && share >= CONCLUSIVE_SHARE && places >= 2;
        if (strength < 1) return null;
        if (!conclusive) strength = Math.min(strength, Strength.STRONG - 0.5);
        String says = Say.text("In %d of %d damaged answers bytes have edges on two bit grids: some lie %.2f bits (give or"
                        + " take %.2f) behind the grid of the byte's own start, at %d place%s of the byte, while edges on that"
                        + " grid go on after them; of %d answers with any such edge %d agree on that delay, where chance would"
                        + " give %.0f %%. One node has one grid.", hits, answers, delay, WINDOW, places,
                places == 1 ? "" : "s", between.size(), hits, 100 * base);
        List<Figure> figures = List.of(new Figure("second_grid_bits", delay), new Figure("answers_with_two_grids", hits),
                new Figure("answers_with_edges_between", between.size()));
        return new Evidence(Kind.HEAD_ON, says, strength, log.startSeconds(frames.get(0)),
                log.startSeconds(frames.get(frames.size() - 1)), hits, conclusive, figures);
    }

    /** Bit places of the edges that lie on the second grid, as a mask; 0 for none. */
    private static int places(double[] edges, double d, double a) {
        int mask = 0;
        for (double bits : edges) if (Math.abs(off(bits - d, a)) <= WINDOW) mask |= 1 << Math.min(PLACES - 1, (int) bits);
        return mask;
    }

    private int distinctPlaces() {
        int[] count = new int[PLACES];
        for (double[] edges : between) {
            int mask = places(edges, delay, apart);
            for (int n = 0; n < PLACES; n++) count[n] += mask >>> n & 1;
        }
        int places = 0;
        for (int c : count) if (c >= FEWEST_OF_A_PLACE) places++;
        return places;
    }
}
