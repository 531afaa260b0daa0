package buswitness.frames;

/** What is wrong with a stretch of wire that is not a whole frame. The words are those of the CSV and JSON. */
public enum FrameFault {
    NONE(""),
    /** Six or more dominant bits where a stuffed field was being sent: somebody raised an error flag. */
    ERROR_FLAG("error flag"),
    /** Six or more recessive bits in a stuffed field: the sender stopped, or a passive error flag. */
    STUFF("stuff"),
    /** A fixed bit (delimiter, end of frame) had the wrong level. */
    FORM("form"),
    /** The check sequence does not match. */
    CHECK("check"),
    /** Nobody acknowledged. */
    ACKNOWLEDGE("no acknowledge"),
    /** An overload flag in the intermission: no frame is lost by it. */
    OVERLOAD("overload"),
    /** The recording ends, or has a gap, within the frame. */
    CUT("cut by the recording"),
    /** Activity that is no start of a frame. */
    NOISE("noise"),
    /** A level lasted as long as no symbol of this bus does. */
    PULSE("pulse length"),
    /** A byte had no stop bit. */
    BYTE("byte without stop bit"),
    /** A byte's parity bit, or the parity that protects an identifier, does not match. */
    PARITY("parity"),
    /** The frame is shorter or longer than its fields say. */
    LENGTH("length"),
    /** A header that nobody answered: nothing is damaged. */
    NO_RESPONSE("no response"),
    /** The check of a reply within the frame does not match; the frame itself does. */
    RESPONSE_CHECK("check of the reply"),
    /** A break: the bus was reset, or a break that no frame followed. */
    BREAK("break"),
    /** An address byte at a few bits a second, and what answers it, before the first frame (ISO 9141-2). */
    SLOW_INITIALISATION("5-baud initialisation"),
    /** A long active level that wakes the bus (ISO 14230-2). */
    FAST_INITIALISATION("fast initialisation"),
    /** An active level that wakes a sleeping bus (LIN). */
    WAKE_UP("wake-up");

    private final String text;

    FrameFault(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }

    /** Whether something was damaged: not so for an unanswered header, a wake-up, an overload flag or a cut. */
    public boolean isDamage() {
        return switch (this) {
            case NONE, CUT, OVERLOAD, NO_RESPONSE, SLOW_INITIALISATION, FAST_INITIALISATION, WAKE_UP -> false;
            default -> true;
        };
    }
}
