package buswitness.frames;

import java.util.List;

/**
 * A recording as frames.
 *
 * @param gaps  stretches that were not recorded, in time order
 * @param marks labels set while recording, in time order; the first thousands of them
 */
public record Decoded(BusInfo bus, FrameLog frames, List<Gap> gaps, List<Mark> marks) {
    public Decoded {
        gaps = List.copyOf(gaps);
        marks = List.copyOf(marks);
    }

    /** A recording without marks. */
    public Decoded(BusInfo bus, FrameLog frames, List<Gap> gaps) {
        this(bus, frames, gaps, List.of());
    }
}
