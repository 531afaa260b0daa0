package buswitness.simulate;

import java.util.List;

/**
 * One frame on the wire, or one broken attempt, with all who sent it. Times are on the recorder's clock, from the
 * recording's time zero, before its tick rounds them.
 *
 * @param startPicos start of the start bit
 * @param endPicos   end of the last end-of-frame bit; of the error delimiter where it broke
 * @param whole      a whole frame reached the bus
 * @param senders    all who sent to the end or until it broke; empty for a start bit made by interference
 */
public record FrameTruth(long startPicos, long endPicos, boolean whole, List<Sender> senders) {
    public FrameTruth {
        senders = List.copyOf(senders);
    }

    /**
     * One sender of it. Those who lost arbitration are not among them.
     *
     * @param node           its name
     * @param key            {@code buswitness.frames.MessageKey}
     * @param data           what it meant to send
     * @param releasePicos   when the frame lay ready, same clock
     * @param completed      it sent the frame whole
     * @param attempt        attempts at this frame that broke before, 0 for the first
     * @param brokeAtBit     bit at which it found an error, stuff bits left out, start of frame = 0; -1 for none
     * @param transmitErrors its counter afterwards; 256 or more is bus-off
     */
    public record Sender(String node, long key, boolean remote, byte[] data, long releasePicos, boolean completed,
                         int attempt, int brokeAtBit, int transmitErrors) {}

    /** Two or more nodes sent the very same bits at once: on the wire it is one frame. */
    public boolean merged() {
        return whole && senders.stream().filter(Sender::completed).count() > 1;
    }
}
