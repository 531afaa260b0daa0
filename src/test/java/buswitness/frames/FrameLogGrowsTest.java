package buswitness.frames;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.problem.NoticeLog;
import buswitness.problem.Progress;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** A log that forgets its oldest frames while it is written holds the newest ones of the log that keeps all. */
class FrameLogGrowsTest {
    private static final int KEPT = 300;
    private static final Path DEMO = Path.of("captures/head-on.bwl.gz");

    private static FrameReader reader() {
        return new FrameReader(new FrameReader.Options("can", 125_000), 0, new NoticeLog(10));
    }

    /** Passes a recording on in small blocks, as a live source does, and looks at the reader after each. */
    private static final class Chopped implements EdgeSink {
        private final FrameReader reader;
        private final EdgeBlock small = new EdgeBlock();
        int looks;
        int most;
        Decoded last;

        Chopped(FrameReader reader) {
            this.reader = reader;
        }

        @Override
        public void begin(int line, long atPicos, int level) {
            reader.begin(line, atPicos, level);
        }

        @Override
        public void edges(EdgeBlock block) {
            for (int from = 0; from < block.count; from += 64) {
                small.count = Math.min(64, block.count - from);
                System.arraycopy(block.atPicos, from, small.atPicos, 0, small.count);
                System.arraycopy(block.level, from, small.level, 0, small.count);
                reader.edges(small);
                reader.forget(KEPT);
                most = Math.max(most, reader.log().size());
                if (reader.finding() != null && ++looks % 50 == 0) {
                    FrameLog log = reader.log();
                    long zero = log.size() > 9 ? log.startPicos(9) : 0;
                    last = reader.soFar(Math.min(9, log.size()), zero, small.atPicos[small.count - 1]);
                }
            }
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {
            reader.gap(line, fromPicos, untilPicos, why);
        }

        @Override
        public void end(long atPicos) {
            reader.end(atPicos);
        }
    }

    @Test
    void theNewestFramesAreTheSame() {
        FrameReader all = reader();
        Recordings.open(DEMO, ReadOptions.NONE).read(all, Progress.SILENT);
        FrameReader some = reader();
        Chopped chopped = new Chopped(some);
        Recordings.open(DEMO, ReadOptions.NONE).read(chopped, Progress.SILENT);
        some.forget(KEPT);
        FrameLog whole = all.finish().frames();
        FrameLog newest = some.finish().frames();
        assertEquals(KEPT, newest.size());
        assertTrue(whole.size() > 2 * KEPT && chopped.most <= 2 * KEPT + 100, "kept at most " + chopped.most);
        int before = whole.size() - KEPT;
        same(whole, before, 0, newest, KEPT);
        same(newest, 40, newest.startPicos(40), newest.copy(40, newest.startPicos(40)), KEPT - 40);
        assertTrue(chopped.last.frames().size() > 100 && chopped.last.frames().startPicos(0) == 0);
        assertTrue(chopped.last.bus().load() > 0.01 && chopped.last.bus().load() < 0.5, "load " + chopped.last.bus().load());
    }

    /** Judged from its first changes, the line gives the same messages much earlier. */
    @Test
    void rateAndPolarityFromFewerChanges() {
        FrameReader all = new FrameReader(new FrameReader.Options(null, Double.NaN), 0, new NoticeLog(10));
        Recordings.open(DEMO, ReadOptions.NONE).read(all, Progress.SILENT);
        FrameReader early = new FrameReader(new FrameReader.Options(null, Double.NaN), 0, new NoticeLog(10));
        early.judgeAfter(2048);
        Chopped chopped = new Chopped(early);
        Recordings.open(DEMO, ReadOptions.NONE).read(chopped, Progress.SILENT);
        assertTrue(chopped.looks > 400, "judged early: " + chopped.looks + " blocks after it");
        assertEquals(125_000, early.finding().bitsPerSecond());
        FrameLog whole = all.finish().frames();
        FrameLog newest = early.log();
        for (int i = 1; i <= KEPT; i++) {
            assertEquals(whole.key(whole.size() - i), newest.key(newest.size() - i));
            assertEquals(whole.startPicos(whole.size() - i), newest.startPicos(newest.size() - i));
        }
    }

    private static void same(FrameLog whole, int from, long zero, FrameLog part, int count) {
        int wholeCount = 0;
        for (int i = 0; i < count; i++) {
            int k = from + i;
            assertEquals(whole.startPicos(k) - zero, part.startPicos(i), "frame " + i);
            assertEquals(whole.endPicos(k) - zero, part.endPicos(i));
            assertEquals(whole.key(k), part.key(i));
            assertEquals(whole.fault(k), part.fault(i));
            assertArrayEquals(whole.data(k), part.data(i));
            assertEquals(whole.isFreeStart(k), part.isFreeStart(i));
            assertEquals(whole.wireBits(k) == null, part.wireBits(i) == null);
            if (whole.wireBits(k) != null) assertEquals(whole.wireBits(k).size(), part.wireBits(i).size());
            if (part.isWhole(i)) wholeCount++;
        }
        assertEquals(count, part.size());
        assertEquals(wholeCount, part.wholeCount());
    }
}
