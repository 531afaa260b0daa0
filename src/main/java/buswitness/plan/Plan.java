package buswitness.plan;

import java.util.List;

/**
 * An install plan.
 *
 * @param title        what it is a plan for
 * @param harness      the harness or car it is for; may be empty
 * @param buses        one or more; the first is that of steps which name none
 * @param unitFields   what the record of each unit must tell
 * @param doesNotDo    what the harness does not do, for the sheet
 * @param cautions     of the whole plan, beside those of its steps
 */
public record Plan(String source, String title, String harness, List<PlanBus> buses, List<String> unitFields,
                   List<String> doesNotDo, List<String> cautions, List<Step> steps) {
    public Plan {
        buses = List.copyOf(buses);
        unitFields = List.copyOf(unitFields);
        doesNotDo = List.copyOf(doesNotDo);
        cautions = List.copyOf(cautions);
        steps = List.copyOf(steps);
    }

    /** The step of this name, or null. */
    public Step step(String name) {
        for (Step s : steps) if (s.name().equals(name)) return s;
        return null;
    }
}
