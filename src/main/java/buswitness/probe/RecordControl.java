package buswitness.probe;

import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.Consumer;

/** What goes on beside a recording: marks and the wish to stop come in, words about its course go out. Safe to share. */
public final class RecordControl {
    /** A label and the computer's clock when it was given. */
    record Mark(String label, long nanos) {}

    final ConcurrentLinkedQueue<Mark> marks = new ConcurrentLinkedQueue<>();
    private final Consumer<String> says;
    private volatile boolean stopped;

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

    boolean isStopped() {
        return stopped;
    }

    void say(String line) {
        says.accept(line);
    }
}
