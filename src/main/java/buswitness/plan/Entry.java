package buswitness.plan;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** One line of an evidence file. Instants are ISO 8601 in UTC, whole seconds. */
public sealed interface Entry {
    String at();

    /** The file's first line. */
    record Begun(String plan, String at) implements Entry {}

    /** What a unit is; later entries of the same serial replace fields they name. */
    record Unit(String serial, Map<String, String> fields, String at) implements Entry {
        public Unit {
            fields = Collections.unmodifiableMap(new LinkedHashMap<>(fields));
        }
    }

    /**
     * What came of one part of a step.
     *
     * @param serial       of the unit; empty where none was named
     * @param stepDigest   of the step's meaning when it was judged
     * @param layoutDigest likewise of the layout
     * @param by           who did it or saw it; may be empty for a recording
     * @param recording    file name, or the readings' file; empty for what a person saw
     * @param sha256       of that file
     * @param note         free text; may be empty
     */
    record Result(String serial, String step, Step.Part part, String stepDigest, String layoutDigest, String at,
                  String by, String recording, String sha256, Outcome outcome, List<Judgement> judgements, String note)
            implements Entry {
        public Result {
            judgements = List.copyOf(judgements);
        }
    }
}
