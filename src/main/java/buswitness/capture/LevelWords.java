package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;

/** The entry of our log that says how high a line stood in a frame. */
final class LevelWords {
    private static final int FIELDS = 7;

    private LevelWords() {}

    /** @param text {@code levels UNIT DOMINANT RECESSIVE STEP ERROR SLOPE}, a dash for what is not known */
    static LevelNote read(String text, int line, long startPicos, Place place) {
        String[] words = text.split("\\s+");
        float[] values = new float[FIELDS];
        boolean good = words.length == FIELDS && words[1].length() <= 8;
        for (int i = 2; good && i < FIELDS; i++) {
            good = words[i].equals("-") || words[i].matches("[-+0-9.eE]{1,24}");
            try {
                values[i] = words[i].equals("-") ? Float.NaN : Float.parseFloat(words[i]);
            } catch (NumberFormatException e) {
                good = false;
            }
            good &= !Float.isInfinite(values[i]);
        }
        if (!good) {
            throw new InputFault(place, "\"" + LogHeader.clip(text) + "\" does not tell levels",
                    "write TIME levels UNIT DOMINANT RECESSIVE STEP ERROR SLOPE, five numbers or dashes, or remove the line");
        }
        return new LevelNote(line, startPicos, words[1], values[2], values[3], values[4], values[5], values[6]);
    }
}
