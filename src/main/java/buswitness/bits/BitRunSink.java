package buswitness.bits;

/** Takes the bit runs of one line, on the reader's thread. */
public interface BitRunSink {

    /** What the head of the recording told about the line; called once, before anything else. */
    void found(LineFinding finding);

    /** Watching begins, at the start and again after a gap: the line's past is unknown. */
    void begin(long atPicos);

    /** More runs. The block is reused after the call. */
    void runs(BitRuns block);

    /** Watching ends, in a gap or at the recording's end; every run up to here has been delivered. */
    void stop(long atPicos);
}
