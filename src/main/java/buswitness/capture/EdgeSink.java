package buswitness.capture;

/** Takes one recording, block by block, on the reader's thread. */
public interface EdgeSink {
    /** Hears everything and keeps nothing. */
    EdgeSink NOBODY = new EdgeSink() {
        @Override
        public void begin(int line, long atPicos, int level) {}

        @Override
        public void edges(EdgeBlock block) {}

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {}

        @Override
        public void end(long atPicos) {}
    };

    /** A line's level when watching begins, before any of its changes; called once per line, and again after a gap. */
    void begin(int line, long atPicos, int level);

    /** More level changes of one line. The block is reused after the call. */
    void edges(EdgeBlock block);

    /**
     * Nothing is known of a line between two instants (overrun, damage, the recorder was paused). Never bridge it.
     * All changes before the gap have been delivered; {@link #begin} follows if watching goes on.
     *
     * @param line index of the line, or -1 for every line
     * @param why  one clause for the user
     */
    void gap(int line, long fromPicos, long untilPicos, String why);

    /** A label that someone set while recording. All changes before it have been delivered, none after it. */
    default void mark(long atPicos, String label) {}

    /** How high a line stood in a frame; in order of time, and before {@link #upTo} passes the frame's start. */
    default void levels(LevelNote note) {}

    /**
     * Every change before this instant, of every line, and every gap that begins before it has been delivered. Blocks
     * of different lines overlap in time, so whoever measures across lines works up to here.
     */
    default void upTo(long atPicos) {}

    /** The recording is over; the lines held their levels until this instant. */
    void end(long atPicos);
}
