package buswitness.live;

import buswitness.schema.Layout;

/**
 * How to look.
 *
 * @param layout        names, instruments, rate; or null
 * @param bitsPerSecond given rate, or NaN to take the layout's or find it on the wire
 * @param mostFrames    the newest frames that are judged together
 * @param everySeconds  least time between two judgements
 */
public record LiveOptions(Layout layout, double bitsPerSecond, int mostFrames, double everySeconds) {
    /** Frames enough for some minutes of most buses, judged in a second or two. */
    public static final int USUAL_FRAMES = 60_000;

    /** The usual way. */
    public static LiveOptions of(Layout layout, double bitsPerSecond) {
        return new LiveOptions(layout, bitsPerSecond, USUAL_FRAMES, 1.5);
    }
}
