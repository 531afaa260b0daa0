package buswitness.clashes;

import java.util.List;

/** Verdicts, evidence, collisions and the final attribution of frames to senders. */
public final class ClashFindings {
    /** Over the whole bus; the words are those of the JSON. */
    public enum Answer {
        YES("yes"), NO("no"), UNDECIDED("undecided");

        private final String text;

        Answer(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    private final Answer clash;
    private final List<Sender> senders;
    private final List<MessageFinding> messages;
    private final List<Collision> collisions;
    private final int[] senderOf;
    private final float[] confidence;
    private final List<ReferenceFinding> references;

    /**
     * @param messages   every message seen, by identifier
     * @param senderOf   for each frame its sender's index, -1 where undetermined
     * @param confidence for each frame 0 to 1
     */
    public ClashFindings(Answer clash, List<Sender> senders, List<MessageFinding> messages,
                         List<Collision> collisions, int[] senderOf, float[] confidence) {
        this(clash, senders, messages, collisions, senderOf, confidence, List.of());
    }

    /** @param references what recordings with a node unplugged say, in the order given */
    public ClashFindings(Answer clash, List<Sender> senders, List<MessageFinding> messages, List<Collision> collisions,
                         int[] senderOf, float[] confidence, List<ReferenceFinding> references) {
        this.clash = clash;
        this.senders = List.copyOf(senders);
        this.messages = List.copyOf(messages);
        this.collisions = List.copyOf(collisions);
        this.senderOf = senderOf;
        this.confidence = confidence;
        this.references = List.copyOf(references);
    }

    public Answer clash() {
        return clash;
    }

    public List<Sender> senders() {
        return senders;
    }

    public List<MessageFinding> messages() {
        return messages;
    }

    /** The finding for one message, or null if it was never seen. */
    public MessageFinding message(long key) {
        for (MessageFinding m : messages) if (m.key() == key) return m;
        return null;
    }

    public List<ReferenceFinding> references() {
        return references;
    }

    public List<Collision> collisions() {
        return collisions;
    }

    /** Sender of a frame as an index into {@link #senders()}, or -1. */
    public int senderOf(int frame) {
        return senderOf[frame];
    }

    public float confidence(int frame) {
        return confidence[frame];
    }
}
