package buswitness;

import buswitness.capture.RecordingInfo;
import buswitness.frames.Decoded;
import buswitness.problem.Notice;
import buswitness.schema.Layout;
import java.util.List;

/**
 * A recording read and decoded, before anything is judged.
 *
 * @param line        name of the line that was read; empty where the recording has only one without a name
 * @param layout      null where there is none
 * @param layoutFound the layout was not named by the user but found beside the recording
 * @param notices     what was survived: damage in the file, skipped rows; the first of them
 * @param noticesSeen how many there were in all
 * @param marks       labels set while recording, in time order
 */
public record AnalysisReading(RecordingInfo recording, String line, Layout layout, boolean layoutFound,
                              Decoded decoded, List<Notice> notices, long noticesSeen, List<Mark> marks) {
    public AnalysisReading {
        notices = List.copyOf(notices);
        marks = List.copyOf(marks);
    }

    /** A recording without marks. */
    public AnalysisReading(RecordingInfo recording, String line, Layout layout, boolean layoutFound, Decoded decoded,
                           List<Notice> notices, long noticesSeen) {
        this(recording, line, layout, layoutFound, decoded, notices, noticesSeen, List.of());
    }
}
