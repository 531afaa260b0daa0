package buswitness;

import buswitness.capture.RecordingInfo;
import buswitness.clashes.ClashFindings;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.instruments.InstrumentFindings;
import buswitness.problem.Notice;
import buswitness.schema.Layout;
import buswitness.senders.SenderFindings;
import java.util.List;

/**
 * Everything one analysis found, as data; {@code report} turns it into text.
 *
 * @param layout  null where none was given
 * @param line    name of the line that was analysed; empty where the recording has only one without a name
 * @param gaps    stretches that were not recorded, in time order
 * @param marks   labels set while recording, in time order
 * @param notices what was survived: damage in the file, skipped rows; the first of them
 * @param noticesSeen how many there were in all
 */
public record Findings(RecordingInfo recording, String line, Layout layout, BusInfo bus, FrameLog frames,
                       List<Gap> gaps, List<Mark> marks, SenderFindings senders, ClashFindings clashes, InstrumentFindings instruments,
                       List<Notice> notices, long noticesSeen) {
    public Findings {
        gaps = List.copyOf(gaps);
        marks = List.copyOf(marks);
        notices = List.copyOf(notices);
    }

    /** Findings on a recording without marks. */
    public Findings(RecordingInfo recording, String line, Layout layout, BusInfo bus, FrameLog frames, List<Gap> gaps,
                    SenderFindings senders, ClashFindings clashes, InstrumentFindings instruments, List<Notice> notices,
                    long noticesSeen) {
        this(recording, line, layout, bus, frames, gaps, List.of(), senders, clashes, instruments, notices, noticesSeen);
    }
}
