package buswitness.simulate;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import java.util.List;

/** Sets the tester's marks among the changes of the bus; the further lines may be a block ahead of them. */
final class MarkingSink implements EdgeSink {
    private final EdgeSink to;
    private final List<RecorderBehaviour.Mark> marks;
    private final double tickPicos;
    private final EdgeBlock part = new EdgeBlock();
    private int next;

    MarkingSink(EdgeSink to, RecorderBehaviour recorder) {
        this.to = to;
        marks = recorder.marks();
        tickPicos = recorder.tickPicos();
    }

    private long at() {
        if (next == marks.size()) return Long.MAX_VALUE;
        return Math.round(Math.floor(marks.get(next).atSeconds() * 1e12 / tickPicos + 1e-6) * tickPicos);
    }

    private void setUpTo(long picos) {
        for (long at = at(); at <= picos && next < marks.size(); at = at()) to.mark(at, marks.get(next++).label());
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        to.begin(line, atPicos, level);
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.line != 0 || block.count == 0 || at() > block.atPicos[block.count - 1]) {
            to.edges(block);
            return;
        }
        part.line = 0;
        int from = 0;
        while (from < block.count) {
            setUpTo(block.atPicos[from]);
            int end = from;
            while (end < block.count && block.atPicos[end] < at()) end++;
            part.count = end - from;
            System.arraycopy(block.atPicos, from, part.atPicos, 0, part.count);
            System.arraycopy(block.level, from, part.level, 0, part.count);
            to.edges(part);
            from = end;
        }
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        if (line <= 0) setUpTo(fromPicos);
        to.gap(line, fromPicos, untilPicos, why);
    }

    @Override
    public void upTo(long atPicos) {
        to.upTo(atPicos);
    }

    @Override
    public void end(long atPicos) {
        setUpTo(atPicos);
        to.end(atPicos);
    }
}
