package buswitness.senders;

/**
 * One train of frames of one message: a schedule (comb), or events that fit none.
 *
 * @param index              index in {@link SenderFindings#tracks()}
 * @param key                message, see {@link buswitness.frames.MessageKey}
 * @param cyclic             whether the frames lie on one comb
 * @param periodSeconds      fitted on the recorder's clock; NaN for events
 * @param periodErrorSeconds one standard error, clock wander included; NaN for events
 * @param nominalSeconds     from the layout, or the nearest round number within 0.5 %; NaN where there is none
 * @param anchorSeconds      time of the comb's tooth 0 as fitted; NaN for events
 * @param jitterSeconds      residual standard deviation of free starts (all starts where none are known to be free)
 * @param frames             frames attributed to the track
 * @param freeStarts         of which free starts that the fit used
 * @param fromSeconds        start of its first frame
 * @param untilSeconds       start of its last frame
 * @param restarts           phase jumps after which it went on with the same period
 * @param group              index of its clock group in {@link SenderFindings#groups()}, or -1 where no clock is known
 */
public record Track(int index, long key, boolean cyclic, double periodSeconds, double periodErrorSeconds,
                    double nominalSeconds, double anchorSeconds, double jitterSeconds, int frames, int freeStarts,
                    double fromSeconds, double untilSeconds, int restarts, int group) {

    /** Period against its nominal value, parts per million; NaN without one. */
    public double clockPpm() {
        return (periodSeconds / nominalSeconds - 1) * 1e6;
    }

    public double clockPpmError() {
        return periodErrorSeconds / nominalSeconds * 1e6;
    }
}
