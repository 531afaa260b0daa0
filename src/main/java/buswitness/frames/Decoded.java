package buswitness.frames;

import java.util.ArrayList;
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

    /** The frames that begin in a stretch, as a recording of their own that begins with it. */
    public Decoded between(long fromPicos, long untilPicos) {
        int from = 0;
        while (from < frames.size() && frames.startPicos(from) < fromPicos) from++;
        int to = from;
        while (to < frames.size() && frames.startPicos(to) < untilPicos) to++;
        return window(from, to, fromPicos, untilPicos);
    }

    /**
     * The frames {@code from} to before {@code to} as a recording of its own, without marks.
     *
     * @param zeroPicos where it begins, its time zero
     * @param endPicos  where it ends
     */
    public Decoded window(int from, int to, long zeroPicos, long endPicos) {
        List<Gap> within = new ArrayList<>();
        for (Gap g : gaps) {
            if (g.untilPicos() <= zeroPicos || g.fromPicos() >= endPicos) continue;
            within.add(new Gap(Math.max(zeroPicos, g.fromPicos()) - zeroPicos, Math.min(endPicos, g.untilPicos()) - zeroPicos,
                    g.why()));
        }
        BusInfo shorter = new BusInfo(bus.coding(), bus.bitsPerSecond(), bus.rateConfidence(), bus.rateGiven(), bus.idleLevel(),
                bus.load(), bus.edges(), bus.glitches(), bus.wire(), endPicos - zeroPicos, bus.measuredBitsPerSecond(),
                bus.idleConfidence(), bus.dataBitsPerSecond(), bus.recognition());
        return new Decoded(shorter, frames.copy(from, to, zeroPicos), within);
    }
}
