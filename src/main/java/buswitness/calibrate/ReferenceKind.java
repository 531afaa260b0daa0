package buswitness.calibrate;

/** What a recording that is said to lack a node really is. */
enum ReferenceKind {
    RIGHT("that node unplugged, nothing else changed"),
    WARMER("that node unplugged, another temperature: clocks moved by up to 20 ppm together and 10 each"),
    RECORDER("that node unplugged, another recorder: clock up to 50 ppm off, another tick"),
    TWO_MISSING("that node and another one missing"),
    OTHER_NODE("another node unplugged than the one named"),
    NONE_MISSING("nothing unplugged"),
    OTHER_BUS("another bus");

    final String text;

    ReferenceKind(String text) {
        this.text = text;
    }

    /** Whether the node named is the one, and the only one, that is missing from the same bus. */
    boolean isTrue() {
        return this == RIGHT || this == WARMER || this == RECORDER;
    }
}
