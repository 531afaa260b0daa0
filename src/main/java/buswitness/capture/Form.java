package buswitness.capture;

import buswitness.problem.NoticeLog;
import java.util.Map;

/** One form of recording, opened: its header is known. Reading starts from the first byte each time. */
interface Form {
    /** What the header says; the sum is empty. */
    RecordingInfo header();

    /** Names that the file holds but that are no line of ours, each with the reason. */
    default Map<String, String> refused() {
        return Map.of();
    }

    /** Further names of lines, to their index. */
    default Map<String, Integer> aliases() {
        return Map.of();
    }

    /** Samples a second where it holds voltages sampled evenly, else NaN. */
    default double samplesPerSecond() {
        return Double.NaN;
    }

    /** Unit of its samples where it holds voltages sampled evenly, else empty. */
    default String levelUnit() {
        return "";
    }

    /** Reads how high a line stands between its changes, where it holds samples. */
    default void readLevels(ByteWindow in, int line, LevelSink levels) {}

    /** True where lines come one after the other within a block rather than in time order. */
    default boolean columns() {
        return false;
    }

    /** Reads everything, the end included. */
    void read(ByteWindow in, EdgeGatherer out, NoticeLog notices);
}
