package buswitness.clashes;

import buswitness.frames.BitString;
import java.util.List;

/**
 * Two nodes sent the same message at once, and what became of it on this kind of bus.
 *
 * @param atSeconds    start of the first damaged frame of the burst
 * @param untilSeconds end of the last
 * @param key          message
 * @param breakBit     first bit where the two differ, from start of frame = 0, stuff bits left out
 * @param frames       indexes of the burst's damaged frames in the log, in order
 * @param firstMeant   bits (without stuff bits, start of frame to last check bit) that one sender meant
 * @param secondMeant  bits that the other meant; the one with the recessive bit at {@code breakBit} where known
 * @param onWire       bits on the wire of the first damaged frame, stuff bits left out, to the last readable one
 * @param firstSender  index into {@link ClashFindings#senders()}, -1 undetermined
 * @param secondSender likewise
 * @param errorCounter transmit error counter that the burst implies for both, if both began at 0 (8 a frame, at most
 *                     the value at which the loser's flag turns passive; Bosch 2012 clause 7)
 * @param conclusive   break at the first difference, dominant on the wire, error flag from the next bit on
 * @param because      what shows it, one sentence
 * @param kind         what such a start together does on this bus
 */
public record Collision(double atSeconds, double untilSeconds, long key, int breakBit, List<Integer> frames,
                        BitString firstMeant, BitString secondMeant, BitString onWire, int firstSender,
                        int secondSender, int errorCounter, boolean conclusive, String because, Kind kind) {
    /** The words are those of the JSON. */
    public enum Kind {
        /** They break each other's frames and try again, until they get past (CAN). */
        BROKEN("broken"),
        /** Their bytes lie one over the other; nobody tries again at once (LIN and other buses of bytes). */
        SUPERPOSED("superposed"),
        /** One falls silent without damage and follows (buses that arbitrate through the whole frame). */
        IN_TURN("in turn");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    public Collision {
        frames = List.copyOf(frames);
    }

    /** Frames that two nodes broke. */
    public Collision(double atSeconds, double untilSeconds, long key, int breakBit, List<Integer> frames,
                     BitString firstMeant, BitString secondMeant, BitString onWire, int firstSender, int secondSender,
                     int errorCounter, boolean conclusive, String because) {
        this(atSeconds, untilSeconds, key, breakBit, frames, firstMeant, secondMeant, onWire, firstSender, secondSender,
                errorCounter, conclusive, because, Kind.BROKEN);
    }
}
