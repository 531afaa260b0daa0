package buswitness.frames;

import java.util.List;

/**
 * A recording as frames.
 *
 * @param gaps stretches that were not recorded, in time order
 */
public record Decoded(BusInfo bus, FrameLog frames, List<Gap> gaps) {
    public Decoded {
        gaps = List.copyOf(gaps);
    }
}
