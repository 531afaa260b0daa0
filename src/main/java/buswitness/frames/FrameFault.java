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
    NOISE("noise");

    private final String text;

    FrameFault(String text) {
        this.text = text;
    }

    public String text() {
        return text;
    }
}
