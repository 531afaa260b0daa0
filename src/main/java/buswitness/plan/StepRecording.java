package buswitness.plan;

import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import java.util.List;
import java.util.Map;

/**
 * A recording as a step looks at it.
 *
 * @param findings   of the bus; null where the step does not ask for the bus
 * @param marks      in time order
 * @param lines      the further lines that the step names
 * @param endSeconds end of the recording
 */
public record StepRecording(RecordingInfo info, Findings findings, List<Mark> marks, Map<String, LineTrace> lines,
                            double endSeconds) {
    public StepRecording {
        marks = List.copyOf(marks);
        lines = Map.copyOf(lines);
    }

    /** A label set while recording. */
    public record Mark(double atSeconds, String label) {}
}
