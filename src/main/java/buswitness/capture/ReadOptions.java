package buswitness.capture;

import java.nio.file.Path;

/**
 * What the user says about a recording that the recording does not say itself.
 *
 * @param timeUnit unit of a CSV's time column: {@code s}, {@code ms}, {@code us}, {@code ns} or {@code ps}; null where
 *                 its header says so
 * @param columns  YAML that says which column of a frame table holds what; null unless the recording is such a table
 */
public record ReadOptions(String timeUnit, Path columns) {
    /** Nothing said. */
    public static final ReadOptions NONE = new ReadOptions(null, null);
}
