package buswitness.compare;

/**
 * One thing compared.
 *
 * @param kind       what sort of thing
 * @param subject    which one, such as {@code engine state (0x1D0)}
 * @param message    the message it is about, in the same words; empty where it is about none
 * @param before     in words, with unit
 * @param after      likewise
 * @param difference after less before, in {@code unit}; NaN where it is no number
 * @param error      standard error of the difference; NaN with it
 * @param unit       may be empty
 * @param chance     probability that chance alone shows as much in any of the comparisons made; NaN where nothing is left to
 *                   chance (a word of a layout), or where it cannot be told
 * @param standing   what that means
 * @param origin     what may have made it
 * @param says       one clause with what the error rests on; may be empty
 */
public record Change(Kind kind, String subject, String message, String before, String after, double difference, double error,
                     String unit, double chance, Standing standing, Origin origin, String says) {

    /** The words are those of the JSON. */
    public enum Kind {
        BUS("bus"), SENDERS("senders"), MESSAGES("messages"), PERIODS("periods"), CLOCKS("clocks"), VALUES("values"),
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

    /** The words are those of the JSON. */
    public enum Origin {
        /** The bus itself: no drive makes it. */
        BUS("bus"),
        /** It comes with another difference of the bus, which {@code says} names. */
        FOLLOWS("follows"),
        /** A value, an event or a load that another drive makes as well as another build. */
        DRIVE("bus or drive");

        private final String text;

        Origin(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    /** Something that is told in words and not tested. */
    static Change told(Kind kind, String subject, String message, String before, String after, Standing standing, String says) {
        return new Change(kind, subject, message, before, after, Double.NaN, Double.NaN, "", Double.NaN, standing, Origin.BUS, says);
    }

    /** Whether it is one, and only the bus can have made it. */
    boolean isOfTheBus() {
        return standing.isDifference() && origin == Origin.BUS;
    }

    Change with(double adjusted, Standing now) {
        return new Change(kind, subject, message, before, after, difference, error, unit, adjusted, now, origin, says);
    }

    Change with(Standing now, Origin from, String more) {
        String first = says.endsWith(".") ? says.substring(0, says.length() - 1) : says;
        String both = says.isEmpty() ? more : more.isEmpty() ? says : first + "; " + more;
        return new Change(kind, subject, message, before, after, difference, error, unit, chance, now, from, both);
    }
}
