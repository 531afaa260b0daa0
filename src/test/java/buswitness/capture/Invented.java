package buswitness.capture;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;

/** A recording made up from a seed: what a sink is told, in an order that {@link EdgeSink} allows. */
record Invented(RecordingInfo info, boolean withGaps, boolean withMarks, long seed, int changes) {

    static Invented oneLine(double tickPicos, long seed) {
        return new Invented(info(tickPicos, "bus"), false, false, seed, 20_000);
    }

    static RecordingInfo info(double tickPicos, String... lines) {
        return new RecordingInfo("<made>", "made", "", tickPicos, List.of(lines),
                List.of("engine off", "  a: b, \"c\""));
    }

    /** Times lie on ticks, rounded to the picosecond, as a counter's do. */
    void tell(EdgeSink sink) {
        SplittableRandom random = new SplittableRandom(seed);
        int lines = info.lines().size();
        long tick = 3;
        int[] level = new int[lines];
        Arrays.fill(level, -1);
        List<EdgeBlock> blocks = new ArrayList<>();
        for (int i = 0; i < lines; i++) {
            blocks.add(new EdgeBlock());
            blocks.get(i).line = i;
        }
        for (int n = 0; n < changes; n++) {
            tick += 1 + (random.nextInt(50) == 0 ? random.nextLong(3_000_000) : random.nextLong(120));
            int line = lines == 1 ? 0 : random.nextInt(3) == 0 ? random.nextInt(lines) : 0;
            if (level[line] < 0) {
                flush(sink, blocks, at(tick));
                level[line] = random.nextInt(2);
                sink.begin(line, at(tick), level[line]);
                continue;
            }
            level[line] ^= 1;
            EdgeBlock block = blocks.get(line);
            block.atPicos[block.count] = at(tick);
            block.level[block.count++] = (byte) level[line];
            if (block.count == EdgeBlock.CAPACITY) flush(sink, blocks, at(tick));
            if (withMarks && random.nextInt(3000) == 0) {
                flush(sink, blocks, at(++tick));
                sink.mark(at(tick), "mark " + n + " with \u00fcml\u00e4ut");
            }
            if (withGaps && random.nextInt(2000) == 0) tick = gap(sink, blocks, level, tick, random);
        }
        flush(sink, blocks, at(tick));
        sink.end(at(tick + random.nextInt(3)));
    }

    private long gap(EdgeSink sink, List<EdgeBlock> blocks, int[] level, long tick, SplittableRandom random) {
        int line = random.nextInt(level.length + 1) - 1;
        long from = tick + 1 + random.nextInt(500);
        long until = from + 1 + random.nextInt(5000);
        flush(sink, blocks, at(from));
        if (line >= 0 && level[line] < 0) return from;
        for (int i = 0; i < level.length; i++) {
            boolean lost = (line < 0 || line == i) && level[i] >= 0;
            if (lost) level[i] = -1;
            if (lost && line >= 0) sink.gap(line, at(from), at(until), "overrun " + tick);
        }
        if (line < 0) sink.gap(-1, at(from), at(until), "paused");
        for (int i = 0; i < level.length; i++) {
            if (level[i] >= 0 || line >= 0 && line != i) continue;
            level[i] = random.nextInt(2);
            sink.begin(i, at(until), level[i]);
        }
        return until;
    }

    private static void flush(EdgeSink sink, List<EdgeBlock> blocks, long now) {
        for (EdgeBlock block : blocks) {
            if (block.count > 0) sink.edges(block);
            block.count = 0;
        }
        sink.upTo(now);
    }

    private long at(long tick) {
        return Math.round(tick * info.tickPicos());
    }
}
