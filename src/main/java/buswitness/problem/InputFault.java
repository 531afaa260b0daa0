package buswitness.problem;

/**
 * Bad input or usage: the command ends with status 2 and prints {@link #getMessage()} as its one line.
 * Carries its parts as data so that no test needs to parse the message.
 */
public final class InputFault extends RuntimeException {
    private static final long serialVersionUID = 1L;
    private final transient Place place;
    private final String what;
    private final String toDo;

    /**
     * @param place where; never null
     * @param what  what is wrong, one clause, no full stop
     * @param toDo  what the user can do about it, one clause, no full stop
     */
    public InputFault(Place place, String what, String toDo) {
        super(oneLine(place.describe() + ": " + what + "; " + toDo));
        this.place = place;
        this.what = what;
        this.toDo = toDo;
    }

    public Place place() {
        return place;
    }

    public String what() {
        return what;
    }

    public String toDo() {
        return toDo;
    }

    /** Control characters in hostile input must not break the promise of one line. */
    private static String oneLine(String text) {
        StringBuilder out = new StringBuilder(text.length());
        text.codePoints().forEach(c -> out.appendCodePoint(
                Character.isISOControl(c) || c == 0x2028 || c == 0x2029 || (c >= 0x202A && c <= 0x202E)
                        || (c >= 0x2066 && c <= 0x2069) ? ' ' : c));
        return out.toString();
    }
}
