package buswitness.report.parts;

/**
 * What the screen can show.
 *
 * @param columns width to wrap at; 20 at least is used
 * @param colour  whether ANSI colours may be written (ECMA-48 SGR)
 * @param unicode whether characters beyond ASCII may be written
 */
public record ScreenStyle(int columns, boolean colour, boolean unicode) {
    /** For a file or a pipe: no colour, 100 columns. */
    public static final ScreenStyle PLAIN = new ScreenStyle(100, false, true);

    public ScreenStyle {
        columns = Math.max(20, columns);
    }
}
