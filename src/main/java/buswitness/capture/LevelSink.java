package buswitness.capture;

/** Takes how high a line stood between its changes, on the reader's thread, in time order. */
public interface LevelSink {

    /**
     * A stretch between two changes of the line, the edges themselves left out.
     *
     * @param fromPicos     the change that opens it, picoseconds from the recording's time zero
     * @param untilPicos    the change that ends it
     * @param level         0 or 1, as the changes have it
     * @param mean          of its settled samples, in {@link Recording#levelUnit}; NaN where there are none
     * @param samples       how many settled samples
     * @param unitsPerMicro steepness of the opening edge where it is half-way, units in a microsecond, without sign; NaN where
     *                      an edge passes between two samples
     */
    void held(long fromPicos, long untilPicos, int level, double mean, int samples, double unitsPerMicro);
}
