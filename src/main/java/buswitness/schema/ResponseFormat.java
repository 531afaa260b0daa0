package buswitness.schema;

/**
 * A reply that another node sends within the frame (SAE J1850 in-frame response; a reply slot).
 *
 * @param kind     how it begins
 * @param mostBytes longest reply, its check included
 * @param check    what protects it, or null; its span is the reply itself, its field name is not used
 */
public record ResponseFormat(Kind kind, int mostBytes, CheckFormat.Kind check) {
    public enum Kind {
        /** After the end of data, opened by a normalisation bit (SAE J1850, variable pulse width). */
        NORMALISATION_BIT,
        /** After the end of data at once (SAE J1850, pulse width). */
        AFTER_END_OF_DATA,
        /** Bytes after a rest longer than within the frame and shorter than between frames. */
        REPLY_SLOT
    }
}
