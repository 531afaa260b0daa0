package buswitness.predict;

import buswitness.predict.Tried.Step;
import java.util.List;

/**
 * A remedy to be tried.
 *
 * @param after    the bus seen from the dashboard
 * @param behind   the wires behind a gateway, or null
 * @param moved    streams that got another identifier, as they were before
 * @param possible null where the layouts do not say
 */
record Candidate(List<Step> steps, Segment after, Segment behind, List<Stream> moved, int effort, int risk,
                 Boolean possible) {
    Candidate {
        steps = List.copyOf(steps);
        moved = List.copyOf(moved);
    }
}
