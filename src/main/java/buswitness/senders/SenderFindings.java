package buswitness.senders;

import java.util.List;

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

    /**
     * @param timings    one for each message seen, ascending by key
     * @param trackOf    for each frame of the log its track's index, or -1 where undetermined
     * @param confidence for each frame 0 to 1 that {@code trackOf} is right
     */
    public SenderFindings(List<Track> tracks, List<ClockGroup> groups, List<MessageTiming> timings,
                          int[] trackOf, float[] confidence) {
        this.tracks = List.copyOf(tracks);
        this.groups = List.copyOf(groups);
        this.timings = List.copyOf(timings);
        this.trackOf = trackOf;
        this.confidence = confidence;
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
