package buswitness.clashes;

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
 */
public record Evidence(Kind kind, String says, double strength, double fromSeconds, double untilSeconds, int frames,
                       boolean conclusive) {
    /** The words are those of the JSON. */
    public enum Kind {
        SCHEDULE("schedule"), HEAD_ON("head-on"), PAYLOAD("payload"), WIRE("wire"), WITHOUT("without"),
        PREDICTION("prediction");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }
}
