package buswitness.live;

import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.Verdict;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.instruments.Cause;
import buswitness.instruments.Symptom;
import java.util.List;

/**
 * Everything a live view shows, at one instant. Times count from the recording's time zero.
 *
 * @param phase       how far the view has come
 * @param line        name of the line
 * @param nowSeconds  until when the line has been read
 * @param coding      as in the JSON; empty before it is known
 * @param bitsPerSecond nominal rate; NaN before it is known
 * @param whole       whole frames since the start
 * @param damaged     damaged ones
 * @param seconds     the last two minutes
 * @param marks       the newest, oldest first
 * @param gaps        the newest, oldest first
 * @param behind      what the view itself missed
 * @param judgement   the last judgement, or null before the first
 * @param recorder    how the recording itself fares
 */
public record LiveState(Phase phase, String line, double nowSeconds, String coding, double bitsPerSecond, long whole,
                        long damaged, Seconds seconds, List<Mark> marks, List<Gap> gaps, Behind behind,
                        Judgement judgement, RecorderState recorder) {

    /** How far the view has come. */
    public enum Phase { WAITING, NO_RATE, READING, ENDED }

    /**
     * Whole seconds of the recording, the last entry being the second that runs now.
     *
     * @param first   number of the first second shown, counted from time zero
     * @param whole   whole frames that began in it
     * @param damaged damaged ones; -1 where some of the second was not recorded and none was seen
     * @param load    share of the second that the bus was busy, 0 to 1
     */
    public record Seconds(long first, int[] whole, int[] damaged, float[] load) {}

    /**
     * What the view could not keep up with. The recording itself is whole.
     *
     * @param changes level changes that were not looked at
     * @param waiting seconds of recording that wait to be read now
     */
    public record Behind(long changes, double waiting) {}

    /**
     * What the newest frames show.
     *
     * @param fromSeconds  start of the first frame judged
     * @param untilSeconds until when was judged
     * @param frames       how many frames were judged together
     * @param tookSeconds  how long judging took
     * @param failed       why judging failed, or null; the rest is then the last that succeeded
     * @param clash        what these frames alone show
     * @param earlier      clashes proven by earlier frames, the newest first; not those that more frames revised
     */
    public record Judgement(double fromSeconds, double untilSeconds, int frames, double tookSeconds, String failed,
                            Answer clash, List<SenderNow> senders, List<MessageNow> messages,
                            List<InstrumentNow> instruments, List<Earlier> earlier) {}

    /**
     * A sender. Its label stays the same from judgement to judgement as long as its messages and clock do.
     *
     * @param name         from the layout, or null
     * @param clockPpm     NaN where unknown
     * @param silentSeconds how long none of the messages that it alone sends has been heard; NaN where it has none
     */
    public record SenderNow(String label, String name, double clockPpm, double clockPpmError, List<Long> keys,
                            boolean clashing, double silentSeconds) {}

    /**
     * A message.
     *
     * @param name    from the layout, or null
     * @param senders labels
     */
    public record MessageNow(long key, String name, Verdict verdict, double strength, List<String> senders, int frames,
                             int damaged) {}

    /** A gauge or lamp that does not behave. */
    public record InstrumentNow(String name, boolean lamp, Symptom symptom, Cause cause) {}

    /**
     * A clash on a message that was proven by frames which are no longer looked at; it stays proven.
     *
     * @param strength    of the last judgement that proved it
     * @param fromSeconds start of the frames that this judgement looked at
     * @param untilSeconds their end: when it was last seen
     */
    public record Earlier(long key, String name, double strength, double fromSeconds, double untilSeconds) {}
}
