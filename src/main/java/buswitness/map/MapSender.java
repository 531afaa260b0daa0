package buswitness.map;

import java.util.List;

/**
 * Messages that most likely come from one node.
 *
 * @param label         A, B, C ... in order of first frame
 * @param name          from a layout or from a recording with a node unplugged, or null
 * @param nameKnown     how the name is known, in words; empty without a name
 * @param clockPpm      of its schedules against round periods, NaN where unknown
 * @param clockPpmError one standard error
 * @param bitPpm        of its bits' length against nominal, NaN where the wire was not seen
 * @param bitPpmError   one standard error
 * @param edgeNanos     how much longer its dominant bits are than its recessive ones; NaN as above
 * @param edgeError     one standard error
 * @param keys          messages, ascending
 * @param load          share of the first recording's time, NaN where unknown
 * @param heldBy        what ties the messages together: {@code clock}, {@code wire}, both, or a single message
 */
public record MapSender(String label, String name, String nameKnown, double clockPpm, double clockPpmError, double bitPpm,
                        double bitPpmError, double edgeNanos, double edgeError, List<Long> keys, double load,
                        String heldBy) {
    public MapSender {
        keys = List.copyOf(keys);
    }
}
