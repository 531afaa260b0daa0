package buswitness.plan;

/**
 * One judgement of a later recording beside the same of the unit's record.
 *
 * @param before     null where the record has none of it
 * @param difference now less before, in their unit; NaN where not comparable
 * @param error      standard uncertainty of the difference
 * @param change     what that says, all comparisons taken together
 */
public record LaterFinding(String step, Judgement before, Judgement now, double difference, double error,
                           Change change) {
    /** The words are those of the JSON. */
    public enum Change {
        SAME("as recorded"), CHANGED("changed"), UNCERTAIN("perhaps changed"), NEW("not in the record");

        private final String text;

        Change(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }
}
