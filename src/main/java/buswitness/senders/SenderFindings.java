package buswitness.senders;

import java.util.List;

/**
 * Trains of frames, their clocks, and which train each frame belongs to. Hypotheses about timing only: whether two
 * trains are two nodes is for {@code clashes} to say.
 */
public final class SenderFindings {
    private final List<Track> tracks;
    private final List<ClockGroup> groups;
    private final int[] trackOf;
    private final float[] confidence;

    /**
     * @param trackOf    for each frame of the log its track's index, or -1 where undetermined
     * @param confidence for each frame 0 to 1 that {@code trackOf} is right
     */
    public SenderFindings(List<Track> tracks, List<ClockGroup> groups, int[] trackOf, float[] confidence) {
        this.tracks = List.copyOf(tracks);
        this.groups = List.copyOf(groups);
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

    /** Track of a frame, or -1 where undetermined. */
    public int trackOf(int frame) {
        return trackOf[frame];
    }

    public float confidence(int frame) {
        return confidence[frame];
    }
}
