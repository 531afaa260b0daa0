package buswitness.senders;

import java.util.List;
import java.util.Map;

/**
 * Trains of frames, their clocks, and which train each frame belongs to. Hypotheses about timing only: whether two
 * trains are two nodes is for {@code clashes} to say.
 */
public final class SenderFindings {
    private final List<Track> tracks;
    private final List<ClockGroup> groups;
    private final List<MessageTiming> timings;
    private final int[] trackOf;
    private final float[] confidence;
    private final Map<Long, Shared> shared;
    private final boolean[] freeOfWire;

    /**
     * @param timings    one for each message seen, ascending by key
     * @param trackOf    for each frame of the log its track's index, or -1 where undetermined
     * @param confidence for each frame 0 to 1 that {@code trackOf} is right
     * @param shared     by key: headers that several nodes answer by design
     */
    public SenderFindings(List<Track> tracks, List<ClockGroup> groups, List<MessageTiming> timings,
                          int[] trackOf, float[] confidence, Map<Long, Shared> shared) {
        this(tracks, groups, timings, trackOf, confidence, shared, new boolean[trackOf.length]);
    }

    private SenderFindings(List<Track> tracks, List<ClockGroup> groups, List<MessageTiming> timings, int[] trackOf,
                           float[] confidence, Map<Long, Shared> shared, boolean[] freeOfWire) {
        this.freeOfWire = freeOfWire;
        this.shared = Map.copyOf(shared);
        this.tracks = List.copyOf(tracks);
        this.groups = List.copyOf(groups);
        this.timings = List.copyOf(timings);
        this.trackOf = trackOf;
        this.confidence = confidence;
    }

    /** Findings of a bus on which no header is shared by design. */
    public SenderFindings(List<Track> tracks, List<ClockGroup> groups, List<MessageTiming> timings,
                          int[] trackOf, float[] confidence) {
        this(tracks, groups, timings, trackOf, confidence, Map.of());
    }

    /** The same, told for each frame whether its track was sure before the wire was looked at. */
    SenderFindings freeOfWire(boolean[] free) {
        return new SenderFindings(tracks, groups, timings, trackOf, confidence, shared, free);
    }

    /** Whether a frame's track was sure by timing and payload before the wire was looked at. */
    public boolean freeOfWire(int frame) {
        return freeOfWire[frame];
    }

    /** Why several nodes answer a header by design, or null where one node sends the message. */
    public Shared shared(long key) {
        return shared.get(key);
    }

    public List<Track> tracks() {
        return tracks;
    }

    /** The tracks of one message, in order of index. */
    public List<Track> tracks(long key) {
        return tracks.stream().filter(t -> t.key() == key).toList();
    }

    public List<ClockGroup> groups() {
        return groups;
    }

    /** What each message's times show, ascending by key. */
    public List<MessageTiming> timings() {
        return timings;
    }

    /** The same for one message, or null where it was never seen. */
    public MessageTiming timing(long key) {
        for (MessageTiming t : timings) if (t.key() == key) return t;
        return null;
    }

    /** Track of a frame, or -1 where undetermined. */
    public int trackOf(int frame) {
        return trackOf[frame];
    }

    public float confidence(int frame) {
        return confidence[frame];
    }
}
