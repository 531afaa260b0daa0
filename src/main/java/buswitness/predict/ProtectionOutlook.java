package buswitness.predict;

import buswitness.schema.Protection;
import java.util.List;

/**
 * What a protective function that watches the bus would do.
 *
 * @param carriers nodes that send what it watches
 * @param others   nodes that send something else in its place
 * @param longest  longest time its condition held at a stretch, in each drive
 * @param acts     drives in which it would have acted
 */
public record ProtectionOutlook(Protection protection, List<String> carriers, List<String> others, int drives,
                                Spread longest, int acts) {
    public ProtectionOutlook {
        carriers = List.copyOf(carriers);
        others = List.copyOf(others);
    }
}
