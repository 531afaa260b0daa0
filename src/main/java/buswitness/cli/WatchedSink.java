package buswitness.cli;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.LevelNote;
import buswitness.problem.Progress;

/** Passes a recording on and tells how far it has come. */
final class WatchedSink implements EdgeSink {
    private static final double PICOS_A_MILLISECOND = 1e9;

    private final EdgeSink to;
    private final Progress progress;
    private final long totalMillis;

    WatchedSink(EdgeSink to, Progress progress, double seconds) {
        this.to = to;
        this.progress = progress;
        this.totalMillis = Math.round(seconds * 1e3);
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        to.begin(line, atPicos, level);
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.count > 0) {
            progress.at("simulating", Math.round(block.atPicos[block.count - 1] / PICOS_A_MILLISECOND), totalMillis);
        }
        to.edges(block);
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        to.gap(line, fromPicos, untilPicos, why);
    }

    @Override
    public void mark(long atPicos, String label) {
        to.mark(atPicos, label);
    }

    @Override
    public void levels(LevelNote note) {
        to.levels(note);
    }

    @Override
    public void upTo(long atPicos) {
        to.upTo(atPicos);
    }

    @Override
    public void end(long atPicos) {
        to.end(atPicos);
    }
}
