package buswitness.report.parts;

import buswitness.clashes.Collision;

/** What a start together of two senders is called and does, bus by bus. */
public final class MetWords {
    private static final String LEVELS = "Line up is a bit at rest (1), line down an active one (0); the active one wins on"
            + " the wire. ";

    private MetWords() {}

    public static String heading(Collision.Kind kind) {
        return switch (kind) {
            case BROKEN -> "Head-on collisions: two senders start the same message together and break it";
            case SUPERPOSED -> "Collisions: two senders answer or send at once, and their bytes lie one over the other";
            case IN_TURN -> "Met at the wire: two senders wait with the same message, and the lower bytes go first";
        };
    }

    /** What the pictures of bits are about. */
    public static String intro(Collision.Kind kind) {
        return switch (kind) {
            case BROKEN -> "When two units start the same message at the same moment, neither notices until the first bit in"
                    + " which they differ. There one hears something it did not say, breaks the message off and both try"
                    + " again.";
            case SUPERPOSED -> "When two units send at the same moment on this bus, the wire carries both at once: a bit is at"
                    + " rest only where both leave it so. What is read is neither the one nor the other, and no unit tries"
                    + " again before its next turn.";
            case IN_TURN -> "When two units wait with the same message, this bus lets them settle it bit by bit: where they"
                    + " first differ, one falls silent and sends afterwards. Nothing is damaged, and both values reach every"
                    + " reader, one right after the other.";
        };
    }

    public static String frames(Collision c) {
        int n = c.frames().size();
        return c.kind() == Collision.Kind.IN_TURN ? Figures.count(n, "whole frame", "whole frames in a row")
                : Figures.count(n, "damaged frame", "damaged frames");
    }

    /** What became of the frames, one sentence. */
    public static String became(Collision c) {
        return switch (c.kind()) {
            case BROKEN -> Figures.count(c.frames().size(), "frame was", "frames were")
                    + (c.errorCounter() > 0 ? " broken before they got past each other." : " broken.");
            case SUPERPOSED -> "The wire showed both at once, and nobody on this bus tries again before his next turn.";
            case IN_TURN -> "Nothing was damaged: this bus lets one of the two fall silent and send afterwards.";
        };
    }

    public static String note(Collision.Kind kind) {
        return switch (kind) {
            case BROKEN -> "Line up is a recessive bit (1), line down a dominant one (0); the dominant one wins on the wire."
                    + " Stuff bits, which only keep the receivers in step, are left out. Boxed: the bit where the two part."
                    + " Pale: bits that were meant and never sent. After the box the wire carries the error flag that breaks"
                    + " the message off.";
            case SUPERPOSED -> LEVELS + "Each byte is written with its highest bit first, whichever comes first on the wire."
                    + " Boxed: the first bit in which the two differ. A node that reads back what it sends falls silent"
                    + " after the byte that was not its own, so the wire may end before both answers do.";
            case IN_TURN -> LEVELS + "Boxed: the bit where the two part. Pale: bits that the second one kept back and sent"
                    + " afterwards. The wire carries the first one unharmed.";
        };
    }
}
