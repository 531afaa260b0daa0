package buswitness.simulate;

/** A way to take the bus bit by bit, every controller for itself. */
interface Lane {
    /**
     * Runs until all nodes rest.
     *
     * @param anchorPicos start of the first bit to be run
     * @param bit         length of bits where nobody sends
     * @return start of the first bit in which all rest
     */
    long run(long anchorPicos, double bit, long endPicos);

    /**
     * The same behind a frame that was sent in one piece.
     *
     * @param sender on whose clock it went
     * @param bits   from its start of frame to the first bit to be run
     */
    long runBehind(Station sender, int bits, long endPicos);
}
