package buswitness.plan;

import java.util.ArrayList;
import java.util.List;

/**
 * One step of a plan.
 *
 * @param bus         which bus of the harness its signals and messages are on
 * @param todo        what to do
 * @param see         what must be seen, for a person
 * @param calibration null where it is none
 * @param digest      SHA-256 of the step's meaning: comments and layout of the text do not count
 */
public record Step(String name, PlanBus bus, Stage stage, String todo, String see, List<String> cautions, Window window,
                   List<Criterion> criteria, Calibration calibration, String digest) {
    public Step {
        cautions = List.copyOf(cautions);
        criteria = List.copyOf(criteria);
    }

    /** Who can fill it, in the order in which it is usually done. */
    public List<Part> parts() {
        List<Part> parts = new ArrayList<>();
        boolean recorded = criteria.stream().anyMatch(c -> !(c instanceof Criterion.Person))
                || calibration != null && (calibration.signal() != null || calibration.line() != null);
        if (recorded) parts.add(Part.RECORDING);
        if (person() != null) parts.add(Part.PERSON);
        if (calibration != null && calibration.hasNeedle()) parts.add(Part.READINGS);
        return parts;
    }

    /** What a person must answer, or null. */
    public Criterion.Person person() {
        for (Criterion c : criteria) if (c instanceof Criterion.Person p) return p;
        return null;
    }

    /** What fills a step; the words are those of the evidence file. */
    public enum Part {
        RECORDING("recording"), PERSON("person"), READINGS("readings");

        private final String text;

        Part(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }

        static Part of(String text) {
            for (Part p : values()) if (p.text.equals(text)) return p;
            throw new IllegalArgumentException(text);
        }
    }
}
