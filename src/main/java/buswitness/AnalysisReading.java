package buswitness;

import buswitness.capture.RecordingInfo;
import buswitness.frames.Decoded;
import buswitness.frames.Mark;
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
 */
public record AnalysisReading(RecordingInfo recording, String line, Layout layout, boolean layoutFound,
                              Decoded decoded, List<Notice> notices, long noticesSeen) {
    public AnalysisReading {
        notices = List.copyOf(notices);
    }

    /** Labels set while recording, in time order. */
    public List<Mark> marks() {
        return decoded.marks();
    }
}
