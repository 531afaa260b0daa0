package buswitness.probe;

import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.Consumer;
import java.util.function.Function;

/** What goes on beside a recording: marks and the wish to stop come in, words about its course go out. Safe to share. */
public final class RecordControl {
    private static final RecordStatus BEFORE = new RecordStatus(true, 0, 0, 0, Double.NaN, 0);

    /** A label and {@link System#nanoTime} when it was given. */
    record Mark(String label, long nanos) {}

    final ConcurrentLinkedQueue<Mark> marks = new ConcurrentLinkedQueue<>();
    private final Consumer<String> says;
    private volatile boolean stopped;
    private volatile RecordStatus status = BEFORE;
    private volatile Function<RecordingInfo, EdgeSink> watcher;

    /** @param says takes one line whenever something is worth saying; called on the recording's thread */
    public RecordControl(Consumer<String> says) {
        this.says = says;
    }

    /** Sets a mark now. */
    public void mark(String label) {
        marks.add(new Mark(label, System.nanoTime()));
    }

    /** Ends the recording soon, in good order. */
    public void stop() {
        stopped = true;
    }

    /**
     * Lets somebody look on. To be called before the recording begins.
     *
     * @param opens called once, when the probe has said what it is; what it gives gets everything that the recording gets, on
     *              the recording's thread, and must not block
     */
    public void watch(Function<RecordingInfo, EdgeSink> opens) {
        watcher = opens;
    }

    /** How the recording fares. */
    public RecordStatus status() {
        return status;
    }

    boolean isStopped() {
        return stopped;
    }

    void say(String line) {
        says.accept(line);
    }

    void status(RecordStatus now) {
        status = now;
    }

    /** What the recording writes to: its writer, and whoever looks on. */
    EdgeSink sink(EdgeSink writer, RecordingInfo info) {
        return watcher == null ? writer : new WatchedSink(writer, watcher.apply(info), this::say);
    }
}
