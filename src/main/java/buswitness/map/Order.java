package buswitness.map;

import java.util.List;

/**
 * Who came first after a silence, or went last before one.
 *
 * @param start     true: who came; false: who went
 * @param atSeconds of the first frame after the silence, or of the last before it
 * @param steps     in time order
 */
public record Order(boolean start, double atSeconds, List<Step> steps) {
    public Order {
        steps = List.copyOf(steps);
    }

    /** A message and how long after (or before) the instant it came (or went); negative before. */
    public record Step(long key, int sender, double afterSeconds) {}
}
