package buswitness.calibrate;

import java.util.List;

/**
 * What became of one bus.
 *
 * @param accused     messages called two senders that have one
 * @param answeredYes the bus as a whole was said to clash
 * @param undecided   messages of one sender left undecided
 * @param clashes     one entry for each message that two nodes send
 * @param failure     the program's own fault, null for none
 */
record Outcome(long seed, RandomBus bus, double load, int frames, int damaged, int messages, List<String> accused,
               boolean answeredYes, int undecided, List<ClashOutcome> clashes, String failure) {

    /** How a clash was judged. */
    enum Judged { FOUND, UNDECIDED, MISSED, UNSEEN }

    /**
     * A message with two senders.
     *
     * @param outside frames outside crossings, {@code right} of them given to their sender, {@code open} to nobody
     * @param inside  frames in crossings, likewise
     */
    record ClashOutcome(RandomBus.Clash clash, Judged judged, Separation separation, int framesA, int framesB,
                        int headOn, int outside, int right, int open, int inside, int insideRight, int insideOpen) {}

    boolean falselyAccused() {
        return !accused.isEmpty() || clashes.isEmpty() && answeredYes;
    }
}
