package buswitness.frames;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.LevelNote;

/** Passes a recording on, and with it what is known of how high the line stood in its frames. */
public final class LevelledSink implements EdgeSink {
    private final EdgeSink to;
    private final FrameLog log;
    private final int line;
    private int next;

    /**
     * @param log  frames of that line, which keeps levels
     * @param line index of the line
     */
    public LevelledSink(EdgeSink to, FrameLog log, int line) {
        this.to = to;
        this.log = log;
        this.line = line;
    }

    @Override
    public void begin(int ofLine, long atPicos, int level) {
        to.begin(ofLine, atPicos, level);
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.line == line && block.count > 0) levelsUntil(block.atPicos[block.count - 1]);
        to.edges(block);
    }

    private void levelsUntil(long atPicos) {
        FrameLevels levels = log.levels();
        for (; next < log.size() && log.startPicos(next) <= atPicos; next++) {
            if (Float.isNaN(levels.swing(next))) continue;
            to.levels(new LevelNote(line, log.startPicos(next), levels.unit(), levels.dominant(next),
                    levels.recessive(next), levels.swing(next), levels.swingError(next), levels.slope(next)));
        }
    }

    @Override
    public void gap(int ofLine, long fromPicos, long untilPicos, String why) {
        to.gap(ofLine, fromPicos, untilPicos, why);
    }

    @Override
    public void mark(long atPicos, String label) {
        to.mark(atPicos, label);
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
