package buswitness.clashes;

import java.util.List;

/**
 * A node as the recording shows it.
 *
 * @param label         A, B, C ... in order of first frame; AA after Z
 * @param name          from the layout where the evidence ties it to a node, else null
 * @param clockPpm      NaN where there is no nominal period
 * @param clockPpmError one standard error
 * @param keys          messages it sends, ascending
 */
public record Sender(String label, String name, double clockPpm, double clockPpmError, List<Long> keys) {
    public Sender {
        keys = List.copyOf(keys);
    }

    /** {@code A} or {@code A (engine unit)}. */
    public String title() {
        return name == null ? label : label + " (" + name + ")";
    }
}
