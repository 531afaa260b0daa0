package buswitness;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import java.util.ArrayList;
import java.util.List;

/** Hands a recording on and keeps its marks, the first of them where there are very many. */
final class MarkedReader implements EdgeSink {
    private static final int MOST = 10_000;

    final List<Mark> marks = new ArrayList<>();
    private final EdgeSink next;

    MarkedReader(EdgeSink next) {
        this.next = next;
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        next.begin(line, atPicos, level);
    }

    @Override
    public void edges(EdgeBlock block) {
        next.edges(block);
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        next.gap(line, fromPicos, untilPicos, why);
    }

    @Override
    public void mark(long atPicos, String label) {
        if (marks.size() < MOST) marks.add(new Mark(atPicos, label));
        next.mark(atPicos, label);
    }

    @Override
    public void upTo(long atPicos) {
        next.upTo(atPicos);
    }

    @Override
    public void end(long atPicos) {
        next.end(atPicos);
    }
}
