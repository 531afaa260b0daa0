package buswitness.problem;

/**
 * Where something sits in the user's input. Unknown coordinates are {@code -1}; text is made only when printed.
 *
 * @param source     file name as the user gave it, or {@code <memory>}
 * @param line       line number from 1, or -1
 * @param column     column number from 1, or -1
 * @param byteOffset byte from 0, or -1
 * @param atPicos    picoseconds from the recording's time zero, or -1
 */
public record Place(String source, int line, int column, long byteOffset, long atPicos) {

    /** A whole file. */
    public static Place file(String source) {
        return new Place(source, -1, -1, -1, -1);
    }

    /** A line and column of a text file, both from 1; column may be -1. */
    public static Place text(String source, int line, int column) {
        return new Place(source, line, column, -1, -1);
    }

    /** A byte of a binary file, from 0. */
    public static Place bytes(String source, long byteOffset) {
        return new Place(source, -1, -1, byteOffset, -1);
    }

    /** The place as a person reads it, such as {@code layout.yaml, line 6, column 5}. */
    public String describe() {
        StringBuilder text = new StringBuilder(source);
        if (line >= 0) text.append(", line ").append(line);
        if (column >= 0) text.append(", column ").append(column);
        if (byteOffset >= 0) text.append(", byte ").append(byteOffset);
        if (atPicos >= 0) text.append(String.format(java.util.Locale.ROOT, ", at %.9f s", atPicos * 1e-12));
        return text.toString();
    }
}
