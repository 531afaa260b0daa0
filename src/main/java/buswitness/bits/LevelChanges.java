package buswitness.bits;

/**
 * Level changes as they are, for buses whose symbols are told by how long a level lasts: one run for each, without bits.
 * The first run after watching begins opens with the level at that instant.
 */
final class LevelChanges implements LineCoding {
    private final int idleLevel;
    private final BitRunSink sink;
    private final BitRuns out = new BitRuns();

    LevelChanges(LineFinding finding, BitRunSink sink) {
        this.idleLevel = finding.idleLevel();
        this.sink = sink;
    }

    @Override
    public void begin(long atPicos, int level) {
        sink.begin(atPicos);
        add(atPicos, level, 0);
        flush();
    }

    @Override
    public void changes(long[] atPicos, byte[] level, int[] glitches, int count) {
        for (int i = 0; i < count; i++) add(atPicos[i], level[i], glitches[i]);
        flush();
    }

    private void add(long at, int level, int glitches) {
        int i = out.count;
        out.edgePicos[i] = at;
        out.bits[i] = 0;
        out.level[i] = (byte) (level == idleLevel ? 1 : 0);
        out.glitches[i] = glitches;
        out.count = i + 1;
        if (out.count == BitRuns.CAPACITY) flush();
    }

    private void flush() {
        if (out.count > 0) sink.runs(out);
        out.count = 0;
    }

    @Override
    public void stop(long atPicos) {
        flush();
        sink.stop(atPicos);
    }

    @Override
    public long dropped() {
        return 0;
    }
}
