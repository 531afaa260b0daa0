package buswitness.probe;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import java.util.function.Consumer;

/** Writes a recording and lets somebody look on, whose faults must not end it. The writer always comes first. */
final class WatchedSink implements EdgeSink {
    private final EdgeSink writer;
    private final Consumer<String> says;
    private EdgeSink watcher;

    WatchedSink(EdgeSink writer, EdgeSink watcher, Consumer<String> says) {
        this.writer = writer;
        this.watcher = watcher;
        this.says = says;
    }

    private void tell(Consumer<EdgeSink> what) {
        if (watcher == null) return;
        try {
            what.accept(watcher);
        } catch (RuntimeException e) {
            watcher = null;
            says.accept("The live view failed (" + e.getClass().getSimpleName() + "); the recording goes on.");
        }
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        writer.begin(line, atPicos, level);
        tell(w -> w.begin(line, atPicos, level));
    }

    @Override
    public void edges(EdgeBlock block) {
        writer.edges(block);
        tell(w -> w.edges(block));
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        writer.gap(line, fromPicos, untilPicos, why);
        tell(w -> w.gap(line, fromPicos, untilPicos, why));
    }

    @Override
    public void mark(long atPicos, String label) {
        writer.mark(atPicos, label);
        tell(w -> w.mark(atPicos, label));
    }

    @Override
    public void upTo(long atPicos) {
        writer.upTo(atPicos);
        tell(w -> w.upTo(atPicos));
    }

    @Override
    public void end(long atPicos) {
        writer.end(atPicos);
        tell(w -> w.end(atPicos));
    }
}
