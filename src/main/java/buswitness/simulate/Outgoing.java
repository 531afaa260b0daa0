package buswitness.simulate;

/** A frame that lies ready in a node. */
final class Outgoing {
    final Mailbox mailbox;
    /** On CAN; null on another bus. On CAN FD it says how the sender's error counters stand when it starts. */
    WireFrame frame;
    /** On a bus that a format describes; null on CAN. */
    final FormatFrame other;
    final long releasePicos;
    /** Attempts that broke so far. */
    int broken;

    Outgoing(Mailbox mailbox, WireFrame frame, long releasePicos) {
        this.mailbox = mailbox;
        this.frame = frame;
        other = null;
        this.releasePicos = releasePicos;
    }

    Outgoing(Mailbox mailbox, FormatFrame other, long releasePicos) {
        this.mailbox = mailbox;
        this.other = other;
        frame = null;
        this.releasePicos = releasePicos;
    }

    byte[] data() {
        return other != null ? other.data : frame.data;
    }

    /** The lower, the more urgent. */
    long priority() {
        return other != null ? other.priority : frame.priority;
    }
}
