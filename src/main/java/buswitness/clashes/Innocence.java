package buswitness.clashes;

import buswitness.frames.FrameLog;

/**
 * What one node may do that looks like two senders of a message, all in one place. Each explanation has what shows it and
 * what refutes it; a verdict of two senders needs every one refuted, and one that is shown and not contradicted means one
 * sender.
 *
 * <table>
 * <caption>Explanations</caption>
 * <tr><th>cause</th><th>shown by</th><th>refuted by</th></tr>
 * <tr><td>restart, or a unit replaced</td><td>one train ends before the other begins</td><td>both run side by
 * side</td></tr>
 * <tr><td>one comb in parts</td><td>all frames together keep one even distance</td><td>parts that drift by many jitters;
 * two transmitters on the wire</td></tr>
 * <tr><td>pieces</td><td>two combs of one period leave as many frames over</td><td>two transmitters on the wire</td></tr>
 * <tr><td>tasks or mailboxes of one node</td><td>no drift within 1.5 ppm: one crystal times both</td><td>drift beyond 6
 * errors; a value that returns again and again without a page number</td></tr>
 * <tr><td>sends on change</td><td>extra frames on the comb's own task grid, or carrying a change that stays</td><td>off
 * the grid, and the old value comes back</td></tr>
 * <tr><td>an input's rhythm</td><td>a period of no round time, each frame brings news</td><td>frames without
 * news</td></tr>
 * <tr><td>one program</td><td>one counter or state through both trains ({@link Continuity})</td><td>a counter of its own
 * in each</td></tr>
 * <tr><td>a loop, waiting, a gateway's second timer</td><td>bits that last equally long although the trains drift ({@link
 * WireMeans#denies})</td><td>bits that differ as the trains drift; returning values; head-on breaks; each train
 * keeps the clock of other messages ({@link
 * ClockTies})</td></tr>
 * <tr><td>a page on a loop</td><td>a steady first byte in each train, and a rate that no other message shares</td><td>two
 * transmitters on the wire; head-on breaks; both rates shared with other messages</td></tr>
 * <tr><td>waiting tasks</td><td>a drift that rests on fewer than 30 frames</td><td>the same</td></tr>
 * <tr><td>events only</td><td>nothing periodic</td><td>two transmitters on the wire; head-on breaks. It is never more than
 * possible: where no schedule parts the frames, their bits or what they carry did</td></tr>
 * </table>
 * Two transmitters on the wire ({@link WireProof}) refute all but the first.
 */
enum Innocence {
    NONE, RESTART_OR_REPLACEMENT, ONE_COMB, PIECES, TASKS_IN_STEP, ON_CHANGE, INPUT_RHYTHM, ONE_PROGRAM, EVENTS_ONLY;

    private static final double VALUES_FOLLOW = -1.5;
    private static final double WIRE_ALIKE = -1;
    private static final int FEW_FRAMES = 30;

    /** The explanation that the pair shows, or {@code NONE}. */
    static Innocence of(PairFinding pair) {
        Timing.Relation relation = pair.timing().relation();
        if (relation == Timing.Relation.ONE_AFTER_THE_OTHER) return RESTART_OR_REPLACEMENT;
        if (pair.provenOnWire()) return NONE;
        Innocence byTime = switch (relation) {
            case IN_STEP -> TASKS_IN_STEP;
            case ONE_COMB -> ONE_COMB;
            case COMB_AND_TASK_EVENTS -> ON_CHANGE;
            case EVENTS -> EVENTS_ONLY;
            default -> NONE;
        };
        if (byTime != NONE) return byTime;
        if (pair.contents().oneSource()) return ONE_PROGRAM;
        boolean follow = pair.payload() <= VALUES_FOLLOW;
        boolean wireAlike = pair.onWire() <= WIRE_ALIKE;
        // Two nodes that read the same thing agree too: where two combs may drift, the wire must say that it is one.
        boolean combs = relation == Timing.Relation.DRIFTING || relation == Timing.Relation.UNRESOLVED;
        if (follow && (wireAlike || !combs)) return relation == Timing.Relation.INPUT_RHYTHM ? INPUT_RHYTHM
                : combs || relation == Timing.Relation.PIECES ? ONE_PROGRAM : ON_CHANGE;
        return NONE;
    }

    /** Whether something that the pair shows speaks against this explanation, so that it is no more than possible. */
    boolean contradicted(PairFinding pair, MessageView view) {
        if (this == RESTART_OR_REPLACEMENT || this == NONE) return false;
        if (pair.onWire() >= Strength.STRONG + 1) return true;
        boolean returns = pair.payload() >= Strength.STRONG;
        return switch (this) {
            // Only their bits, or what they carry, part frames that no schedule parts.
            case EVENTS_ONLY -> true;
            case TASKS_IN_STEP, ONE_COMB, ON_CHANGE -> returns && !pagesApart(view, pair);
            default -> false;
        };
    }

    /**
     * Two mailboxes of one node, each with its page, one of them timed by a loop: then the trains drift and the payloads
     * return, and both mean nothing. A loop's rate is shared by no other message; where each train has the clock of
     * another message, two oscillators time them.
     */
    static boolean pageOnALoop(PairFinding pair, MessageView view) {
        return pair.timing().relation() == Timing.Relation.DRIFTING && pagesApart(view, pair)
                && pair.clocksTied() < Strength.STRONG;
    }

    /**
     * Two tasks of one node whose starts wait now and then: a drift that rests on few frames may be their waiting. Refuted
     * by more frames, or where each train has the clock of another message.
     */
    static boolean fewFramesDrift(PairFinding pair) {
        return pair.timing().relation() == Timing.Relation.DRIFTING
                && Math.min(pair.a().frames(), pair.b().frames()) < FEW_FRAMES
                && pair.clocksTied() < Strength.STRONG;
    }

    /** One node's pages sent from two mailboxes: the first byte names the page, steady in each train, and more differs. */
    private static boolean pagesApart(MessageView view, PairFinding pair) {
        int[] a = view.framesOf(pair.a());
        int[] b = view.framesOf(pair.b());
        if (a.length == 0 || b.length == 0) return false;
        FrameLog log = view.log;
        long first = log.dataWord(a[0]) >>> 56;
        long second = log.dataWord(b[0]) >>> 56;
        if (first == second) return false;
        for (int f : a) if (log.dataWord(f) >>> 56 != first) return false;
        for (int f : b) if (log.dataWord(f) >>> 56 != second) return false;
        return (log.dataWord(a[0]) << 8) != (log.dataWord(b[0]) << 8);
    }
}
