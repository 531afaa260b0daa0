package buswitness.capture;

import java.io.Closeable;

/** One form of recording, written in time order. {@link OrderedWriter} sees to the order. */
interface Encoder extends Closeable {
    /** Takes every queued change before this instant. */
    void changes(LineQueues queues, long before);

    void begin(int line, long atPicos, int level);

    /** A line's level is not known from here on; the gap follows. Line -1 is every line. */
    default void lost(int line, long atPicos) {}

    default void gap(int line, long fromPicos, long untilPicos, String why) {}

    default void mark(long atPicos, String label) {}

    default void levels(LevelNote note) {}

    void end(long atPicos);

    /** Hands everything taken so far to the stream under it. */
    void settle() throws java.io.IOException;
}
