package buswitness.clashes;

import buswitness.frames.BitString;
import java.util.List;

/**
 * Two nodes started the same identifier together and broke each other's frames, until they got past.
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
 * @param because      which of the three conditions hold, one sentence
 */
public record Collision(double atSeconds, double untilSeconds, long key, int breakBit, List<Integer> frames,
                        BitString firstMeant, BitString secondMeant, BitString onWire, int firstSender,
                        int secondSender, int errorCounter, boolean conclusive, String because) {
    public Collision {
        frames = List.copyOf(frames);
    }
}
