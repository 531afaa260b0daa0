package buswitness.simulate;

/** A frame that lies ready in a node. */
final class Outgoing {
    final Mailbox mailbox;
    final WireFrame frame;
    final long releasePicos;
    /** Attempts that broke so far. */
    int broken;

    Outgoing(Mailbox mailbox, WireFrame frame, long releasePicos) {
        this.mailbox = mailbox;
        this.frame = frame;
        this.releasePicos = releasePicos;
    }
}
