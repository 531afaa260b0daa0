package buswitness.report.parts;

import java.util.List;

/**
 * A few moments of the worst instrument, drawn once and for all: what it was told by whom, and what it showed. The one
 * picture that a customer takes in, also on paper and where no script runs.
 *
 * @param needle path of the needle, or of the lamp's bars
 * @param marks  what it was told, by sender
 */
public record CloseUp(Sentence title, Sentence caption, boolean lamp, String needle, List<Mark> marks,
                      List<PictureScale.Tick> across, List<PictureScale.Tick> up) {
    public static final int WIDTH = 760;
    public static final int HEIGHT = 240;

    /** One sender's marks. */
    public record Mark(String style, String key, String path, Sentence label) {}
}
