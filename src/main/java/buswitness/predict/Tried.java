package buswitness.predict;

import java.util.List;

/**
 * A remedy as the simulator saw it.
 *
 * @param steps         what is done; more than one where remedies go together
 * @param clashesBefore messages with two senders before
 * @param clashesLeft   messages that two nodes sent in any of its drives, on any segment
 * @param damaged       damaged frames a drive
 * @param served        instruments with a wire, or with exactly one sender that hears what it reads, that behaved in
 *                      all its drives
 * @param wanted        instruments there are
 * @param unserved      names of the others
 * @param litAlong     lamps that were lit from beginning to end of all its drives
 * @param losing        readers that no longer get what they got
 * @param following     readers that must be taught another identifier
 * @param effort        1 little to 5 much
 * @param risk          1 little to 5 much
 * @param possible      whether the layouts say that it can be done; null where they do not say
 * @param drives        simulated for it
 * @param driveSeconds  length of each
 */
public record Tried(List<Step> steps, int clashesBefore, int clashesLeft, Spread damaged, int served, int wanted,
                    List<String> unserved, List<String> litAlong, List<Reader> losing, List<Reader> following,
                    int effort, int risk, Boolean possible, int drives, double driveSeconds) {
    public Tried {
        steps = List.copyOf(steps);
        unserved = List.copyOf(unserved);
        litAlong = List.copyOf(litAlong);
        losing = List.copyOf(losing);
        following = List.copyOf(following);
    }

    /** The words are those of the JSON. */
    public enum Kind {
        SILENCE("silence messages"), LEAVE_OUT("leave a node out"), GATEWAY("filtering gateway"),
        MOVE("move a message"), WIRE("wire a lamp"), PROTECTION("protective function");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    /**
     * One thing to do.
     *
     * @param node       the node it is done to; empty for a wire
     * @param keys       messages meant
     * @param moved      identifiers they get instead, for {@code MOVE}; else empty
     * @param instrument the lamp, for a wire or a protection; else empty
     * @param detail     where the wire comes from, or the protection's name; empty where the layouts do not say
     */
    public record Step(Kind kind, String node, List<Long> keys, List<Long> moved, String instrument, String detail) {
        public Step {
            keys = List.copyOf(keys);
            moved = List.copyOf(moved);
        }
    }

    /** A node that reads a message. */
    public record Reader(String node, long key, String message) {}
}
