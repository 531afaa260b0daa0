package buswitness.bits;

/** Takes the bit runs of one line, on the reader's thread. */
public interface BitRunSink {

    /**
     * Chooses how the line is read, once its first changes are there; called once, before anything else.
     *
     * @return one of the findings that {@code head} offers
     */
    default LineFinding choose(LineHead head) {
        return head.bits();
    }

    /** What the head of the recording told about the line; called once, before any run. */
    void found(LineFinding finding);

    /** Watching begins, at the start and again after a gap: the line's past is unknown. */
    void begin(long atPicos);

    /** More runs. The block is reused after the call. */
    void runs(BitRuns block);

    /** Watching ends, in a gap or at the recording's end; every run up to here has been delivered. */
    void stop(long atPicos);
}
