package buswitness.senders;

/** A header that several nodes answer by design, each naming itself in the first byte of its answer (LIN). */
public enum Shared {
    /**
     * An event-triggered frame (LIN 2.2A, 2.3.3.2): whoever has news answers, the first byte is the protected identifier of
     * its own frame. Answers that lie one over the other are meant to be: the master then asks for each by its own header.
     */
    EVENT_TRIGGERED,
    /** The slave answer of diagnosis, 0x3D: the node that was addressed answers; the first byte is its address. */
    DIAGNOSIS
}
