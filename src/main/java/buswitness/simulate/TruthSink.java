package buswitness.simulate;

/** Hears what really happened, in time order. */
public interface TruthSink {
    TruthSink NONE = frame -> {};

    /** A frame or an attempt at one is over. */
    void frame(FrameTruth frame);

    /**
     * Something befell a node.
     *
     * @param atPicos on the recorder's clock, from the recording's time zero
     * @param what    {@code off}, {@code boot}, {@code bus-off} or {@code back on the bus}
     */
    default void befell(long atPicos, String node, String what) {}
}
