package buswitness.simulate;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Keeps what a simulation gives: level changes of line 0, truth, gaps; and reads levels back at any instant. */
final class WireProbe implements EdgeSink, TruthSink {
    private long[] at = new long[1024];
    private int[] level = new int[1024];
    private int count;
    int idle;
    long endPicos = -1;
    final List<FrameTruth> frames = new ArrayList<>();
    final List<String> events = new ArrayList<>();
    final List<Long> eventPicos = new ArrayList<>();
    final List<String> gaps = new ArrayList<>();
    final List<Integer> extraChanges = new ArrayList<>();

    static WireProbe of(Scenario scenario) {
        WireProbe probe = new WireProbe();
        Simulations.run(scenario, probe, probe);
        return probe;
    }

    static WireProbe slowly(Scenario scenario) {
        WireProbe probe = new WireProbe();
        Simulations.run(scenario, probe, probe, false);
        return probe;
    }

    @Override
    public void begin(int line, long atPicos, int first) {
        if (line == 0 && count == 0) idle = first;
    }

    @Override
    public void edges(EdgeBlock block) {
        while (extraChanges.size() <= block.line) extraChanges.add(0);
        extraChanges.set(block.line, extraChanges.get(block.line) + block.count);
        if (block.line != 0) return;
        if (count + block.count > at.length) {
            at = Arrays.copyOf(at, at.length * 2 + block.count);
            level = Arrays.copyOf(level, at.length);
        }
        for (int i = 0; i < block.count; i++) {
            if (count > 0 && block.atPicos[i] <= at[count - 1]) throw new AssertionError("time stands still");
            at[count] = block.atPicos[i];
            level[count++] = block.level[i];
        }
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        gaps.add(line + ":" + fromPicos + ".." + untilPicos);
    }

    @Override
    public void end(long atPicos) {
        endPicos = atPicos;
    }

    @Override
    public void frame(FrameTruth frame) {
        frames.add(frame);
    }

    @Override
    public void befell(long atPicos, String node, String what) {
        events.add(node + " " + what);
        eventPicos.add(atPicos);
    }

    int edgeCount() {
        return count;
    }

    long edge(int i) {
        return at[i];
    }

    int levelAfter(int i) {
        return level[i];
    }

    int levelAt(long picos) {
        int i = Arrays.binarySearch(at, 0, count, picos);
        if (i < 0) i = -i - 2;
        return i < 0 ? idle : level[i];
    }

    /** Bits from an instant on, sampled in their middle. */
    String bits(long fromPicos, double bitPicos, int number) {
        StringBuilder text = new StringBuilder();
        for (int i = 0; i < number; i++) text.append(levelAt(fromPicos + Math.round((i + 0.5) * bitPicos)));
        return text.toString();
    }

    /** The changes as one number, to compare runs. */
    long fingerprint() {
        return 31L * Arrays.hashCode(Arrays.copyOf(at, count)) + Arrays.hashCode(Arrays.copyOf(level, count));
    }
}
