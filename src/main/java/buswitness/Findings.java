package buswitness;

import buswitness.capture.RecordingInfo;
import buswitness.clashes.ClashFindings;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.instruments.InstrumentFindings;
import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.Place;
import buswitness.schema.Layout;
import buswitness.senders.SenderFindings;
import java.math.BigDecimal;
import java.math.RoundingMode;
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
    /** A bus whose every frame breaks is rare; so many broken ones and none whole are a wrong rate. */
    private static final int LEAST_UNREADABLE = 20;

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

    /**
     * Whether the wire was busy and yet no frame could be read at the rate that a layout or a person gave: then that rate
     * is wrong, and whatever is said of the recording, "silent" above all, would be wrong too.
     */
    public boolean readAtAWrongRate() {
        return bus.wire() && bus.rateGiven() && frames.wholeCount() == 0 && frames.size() >= LEAST_UNREADABLE;
    }

    /** What a wrong rate made of it, as a clause. */
    public String unreadable() {
        return "none of " + frames.size() + " frames is whole at the " + BigDecimal.valueOf(bus.bitsPerSecond() / 1000)
                .setScale(2, RoundingMode.HALF_UP).stripTrailingZeros().toPlainString() + " kbit/s that the layout or --rate gives";
    }

    /** @throws InputFault where {@link #readAtAWrongRate} */
    public void mustBeReadable() {
        if (!readAtAWrongRate()) return;
        throw new InputFault(Place.file(recording.source()), unreadable(),
                "correct the rate in the layout, or name the right one with --rate");
    }
}
