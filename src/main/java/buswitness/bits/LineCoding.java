package buswitness.bits;

/**
 * Turns settled level changes into symbols of one line coding. Codings are equals: the reader picks one from the
 * recording's head, or the one it was told, and calls it once a block.
 */
interface LineCoding {

    /** Watching begins with this recorder's level. */
    void begin(long atPicos, int level);

    /** Settled changes, as {@link GlitchFilter} leaves them. */
    void changes(long[] atPicos, byte[] level, int[] glitches, int count);

    /** Watching ends; whatever is open is delivered. */
    void stop(long atPicos);

    /** Runs dropped by the coding itself because no sample point fell into them. */
    long dropped();
}
