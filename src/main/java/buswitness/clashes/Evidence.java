package buswitness.clashes;

import java.util.ArrayList;
import java.util.List;

/**
 * One finding that speaks for or against two senders of a message.
 *
 * @param kind         independent kinds never count twice; schedule and census are one kind
 * @param says         one sentence with figures, units and errors
 * @param strength     log10 of the likelihood ratio two senders : one sender, or a calibrated equivalent; negative
 *                     speaks for one sender
 * @param fromSeconds  where in the recording it begins
 * @param untilSeconds where it ends
 * @param frames       how many frames it rests on
 * @param conclusive   enough on its own (head-on under its three conditions)
 * @param figures      what {@code says} rests on, for programs
 */
public record Evidence(Kind kind, String says, double strength, double fromSeconds, double untilSeconds, int frames,
                       boolean conclusive, List<Figure> figures) {
    public Evidence {
        figures = List.copyOf(figures);
    }

    /** Evidence whose figures stand in its words only. */
    public Evidence(Kind kind, String says, double strength, double fromSeconds, double untilSeconds, int frames,
                    boolean conclusive) {
        this(kind, says, strength, fromSeconds, untilSeconds, frames, conclusive, List.of());
    }

    /** With more words and figures. */
    Evidence and(String more, List<Figure> moreFigures) {
        List<Figure> all = new ArrayList<>(figures);
        all.addAll(moreFigures);
        return new Evidence(kind, says + more, strength, fromSeconds, untilSeconds, frames, conclusive, all);
    }

    /**
     * A figure behind a piece of evidence.
     *
     * @param name in small letters with underscores, the unit last, as in {@code tick_needed_s}
     */
    public record Figure(String name, double value) {}

    /** The words are those of the JSON. */
    public enum Kind {
        SCHEDULE("schedule"), HEAD_ON("head-on"), PAYLOAD("payload"), WIRE("wire"), WITHOUT("without"),
        PREDICTION("prediction"), CLOCKS("clocks");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }
}
