package buswitness.compare;

/**
 * One thing compared.
 *
 * @param kind       what sort of thing
 * @param subject    which one, such as {@code engine state (0x1D0)}
 * @param before     in words, with unit
 * @param after      likewise
 * @param difference after less before, in {@code unit}; NaN where it is no number
 * @param error      standard error of the difference; NaN with it
 * @param unit       may be empty
 * @param chance     probability that chance alone shows as much in any of the comparisons made; NaN where nothing is left to
 *                   chance (a word of a layout), or where it cannot be told
 * @param standing   what that means
 * @param says       one clause with what the error rests on; may be empty
 */
public record Change(Kind kind, String subject, String before, String after, double difference, double error,
                     String unit, double chance, Standing standing, String says) {

    /** The words are those of the JSON. */
    public enum Kind {
        SENDERS("senders"), MESSAGES("messages"), PERIODS("periods"), CLOCKS("clocks"), VALUES("values"),
        DAMAGE("damaged frames"), LOAD("load"), INSTRUMENTS("instruments"), LAYOUT("layout");

        private final String text;

        Kind(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    /** The words are those of the JSON. */
    public enum Standing {
        CAME("came"), WENT("went"), CHANGED("changed"), UNDECIDED("undecided"), SAME("no difference");

        private final String text;

        Standing(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }

        public boolean isDifference() {
            return this == CAME || this == WENT || this == CHANGED;
        }
    }

    Change with(double adjusted, Standing now) {
        return new Change(kind, subject, before, after, difference, error, unit, adjusted, now, says);
    }
}
