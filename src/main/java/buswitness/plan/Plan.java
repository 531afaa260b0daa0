package buswitness.plan;

import buswitness.schema.Layout;
import java.nio.file.Path;
import java.util.List;

/**
 * An install plan.
 *
 * @param title        what it is a plan for
 * @param harness      the harness or car it is for; may be empty
 * @param layoutFile   as found from the plan's folder
 * @param layoutDigest SHA-256 of the layout's meaning
 * @param busLine      line of a recording that is the bus; null where only one moves
 * @param unitFields   what the record of each unit must tell
 * @param doesNotDo    what the harness does not do, for the sheet
 * @param cautions     of the whole plan, beside those of its steps
 */
public record Plan(String source, String title, String harness, Path layoutFile, Layout layout, String layoutDigest,
                   String busLine, List<String> unitFields, List<String> doesNotDo, List<String> cautions,
                   List<Step> steps) {
    public Plan {
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
