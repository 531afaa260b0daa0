package buswitness.capture;

import buswitness.problem.NoticeLog;
import java.util.function.Consumer;

/** One recording of frames that another recorder decoded, opened. Reading starts from the first byte each time. */
interface FrameSource {
    /** What it says of itself; the sum is empty. */
    RecordingInfo header();

    /** Reads every frame. */
    FrameTableInfo read(ByteWindow in, Consumer<FrameRow> to, NoticeLog notices);
}
