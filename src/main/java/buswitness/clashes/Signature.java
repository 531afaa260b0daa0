package buswitness.clashes;

import buswitness.frames.BitString;
import java.util.List;

/**
 * What two nodes leave on a bus other than CAN when they send at once, rebuilt to the bit.
 *
 * @param evidence null where nothing of it was seen
 * @param meetings each occasion, in time order
 * @param kind     what a start together does on this bus; null where nothing can be said
 * @param open     so much of this message alone is damaged that one sender cannot be said, whatever else was seen
 */
record Signature(Evidence evidence, List<Meeting> meetings, Collision.Kind kind, boolean open) {
    static final Signature NOTHING = new Signature(null, List.of(), null, false);

    /**
     * One occasion.
     *
     * @param frames      log indexes: a damaged frame, or the winner's and the loser's one after the other
     * @param first       bits one of the two meant
     * @param second      bits the other meant
     * @param onWire      bits the wire showed
     * @param bit         first bit in which the two differ
     * @param firstTrack  index of the first one's track, -1 unknown
     * @param secondTrack likewise
     */
    record Meeting(double atSeconds, double untilSeconds, List<Integer> frames, BitString first, BitString second,
                   BitString onWire, int bit, int firstTrack, int secondTrack, String because) {
        Meeting {
            frames = List.copyOf(frames);
        }
    }

    Signature {
        meetings = List.copyOf(meetings);
    }

    /** What the bus at hand can show; nothing where frames are broken by error flags, which {@link HeadOn} reads. */
    static Signature of(MessageView view, PairFinding rivals) {
        if (view.meant.format() == null) return NOTHING;
        if (view.meant.isOfBytes()) return new Superposed(view, rivals).signature();
        if (view.meant.breaksFrames()) return NOTHING;
        // A sender that reads back what it sends falls silent without damage, where the bus arbitrates and where it does not.
        Signature turns = rivals == null ? NOTHING : new Turns(view, rivals).signature();
        if (view.meant.stuffedLine() == null || view.meant.arbitratesThroughout()) {
            return view.meant.arbitratesThroughout() ? turns : NOTHING;
        }
        Signature over = new SuperposedBits(view, rivals).signature();
        return over.evidence() != null || turns.evidence() == null ? over
                : new Signature(turns.evidence(), turns.meetings(), turns.kind(), over.open());
    }

    /** First bit in which two frames differ; the shorter size where one begins the other. */
    static int firstDifference(BitString a, BitString b) {
        int both = Math.min(a.size(), b.size());
        for (int i = 0; i < both; i++) if (a.get(i) != b.get(i)) return i;
        return both;
    }
}
