package buswitness.frames;

import buswitness.bits.BitRuns;

/**
 * Finds the frames of one protocol in the bit runs of one line and writes them, whole and damaged, into a
 * {@link FrameLog}. Framings are equals: {@link FrameReader} picks one by the line's coding.
 */
interface Framing {

    /** Watching begins, at the start and again after a gap. */
    void begin(long atPicos);

    void runs(BitRuns runs);

    /** Watching ends; a frame in progress is cut. */
    void stop(long atPicos);

    /** Time in which the line was not idle, spaces between frames included, picoseconds. */
    double busyPicos();

    /** Name of the protocol, as in the JSON. */
    String name();
}
