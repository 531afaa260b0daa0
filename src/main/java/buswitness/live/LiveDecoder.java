package buswitness.live;

import buswitness.capture.EdgeBlock;
import buswitness.frames.Decoded;
import buswitness.frames.FrameLog;
import buswitness.frames.FrameReader;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.frames.MessageKey;
import buswitness.problem.NoticeLog;
import java.util.ArrayDeque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Level changes to frames as they come, counted by the second. Keeps the newest frames only. One thread, but for
 * {@link #tally}, which anybody may read.
 */
final class LiveDecoder {
    /** Enough to tell the rate: about a second of a calm bus. */
    private static final int HEAD_CHANGES = 4096;
    /** A line read so far without one whole frame is judged anew. */
    private static final int FRUITLESS_CHANGES = 20_000;
    /** A slow or a calm bus is judged from fewer changes after so long, and anew the sooner if that was too early. */
    private static final int EARLY_CHANGES = 400;
    private static final long EARLY_PICOS = 4_000_000_000_000L;
    private static final int FRUITLESS_EARLY = 3000;
    private static final int MOST_SHOWN = 50;
    private static final int MOST_KEYS = 4096;
    private static final int INTERMISSION_BITS = 3;

    /** What is known without any judgement; immutable. */
    record Tally(LiveState.Phase phase, double nowSeconds, String coding, double bitsPerSecond, long whole, long damaged,
                 LiveState.Seconds seconds, List<Mark> marks, List<Gap> gaps, Map<Long, Long> lastHeard) {}

    /** Frames to be judged, their times counted from {@code zeroPicos}. */
    record Window(Decoded decoded, long zeroPicos) {}

    private final LiveOptions options;
    private final SecondTally seconds = new SecondTally();
    private final Map<Long, Long> lastHeard = new HashMap<>();
    private final ArrayDeque<Mark> marks = new ArrayDeque<>();
    private final ArrayDeque<Gap> gaps = new ArrayDeque<>();
    private final EdgeBlock block = new EdgeBlock();
    private FrameReader reader;
    private int line = -1;
    private int seen;
    private boolean forgotten;
    private long changes;
    private long anewPicos;
    private boolean early;
    private long nowPicos;
    private int level;
    private boolean open;
    private boolean ended;
    private volatile Tally tally;

    LiveDecoder(LiveOptions options) {
        this.options = options;
        anew();
        tell();
    }

    private void anew() {
        double rate = options.bitsPerSecond();
        if (options.layout() != null && Double.isNaN(rate)) rate = options.layout().bitsPerSecond();
        reader = new FrameReader(FrameReader.Options.of(options.layout(), rate, Double.NaN), 0, new NoticeLog(1));
        reader.judgeAfter(HEAD_CHANGES);
        if (open) reader.begin(0, nowPicos, level);
        changes = 0;
        anewPicos = nowPicos;
        early = false;
        seen = 0;
        forgotten = false;
    }

    Tally tally() {
        return tally;
    }

    void take(ChangeQueue.Told told) {
        if (told instanceof ChangeQueue.Begins b) {
            if (line < 0) line = b.line();
            if (b.line() != line) return;
            open = true;
            level = b.level();
            reader.begin(0, b.atPicos(), b.level());
            reach(b.atPicos());
        } else if (told instanceof ChangeQueue.Changes c) {
            if (c.line() == line) changes(c);
        } else if (told instanceof ChangeQueue.Missing m) {
            open = false;
            reader.gap(-1, m.fromPicos(), m.untilPicos(), m.why());
            keep(gaps, new Gap(m.fromPicos(), m.untilPicos(), m.why()));
            seconds.gap(m.fromPicos(), m.untilPicos());
            reach(m.untilPicos());
        } else if (told instanceof ChangeQueue.Marked m) {
            reader.mark(m.atPicos(), m.label());
            keep(marks, new Mark(m.atPicos(), m.label()));
        } else if (told instanceof ChangeQueue.Reached r) {
            reach(r.atPicos());
        } else if (told instanceof ChangeQueue.Ended e) {
            reader.end(Math.max(nowPicos, e.atPicos()));
            reach(e.atPicos());
            ended = true;
            count();
        }
    }

    private static <T> void keep(ArrayDeque<T> queue, T item) {
        queue.add(item);
        if (queue.size() > MOST_SHOWN) queue.removeFirst();
    }

    private void reach(long atPicos) {
        nowPicos = Math.max(nowPicos, atPicos);
        seconds.reach(nowPicos);
    }

    private void changes(ChangeQueue.Changes c) {
        int n = c.atPicos().length;
        for (int from = 0; from < n; from += EdgeBlock.CAPACITY) {
            block.count = Math.min(EdgeBlock.CAPACITY, n - from);
            block.line = 0;
            System.arraycopy(c.atPicos(), from, block.atPicos, 0, block.count);
            System.arraycopy(c.level(), from, block.level, 0, block.count);
            reader.edges(block);
        }
        changes += n;
        level = c.level()[n - 1];
        reach(c.atPicos()[n - 1]);
        count();
        if (reader.finding() == null && changes >= EARLY_CHANGES && nowPicos - anewPicos > EARLY_PICOS) {
            early = true;
            reader.judgeNow();
            count();
        }
        if (changes > (early ? FRUITLESS_EARLY : FRUITLESS_CHANGES) && reader.log().wholeCount() == 0 && !forgotten) anew();
    }

    /** Takes in the frames that were finished since the last call. */
    private void count() {
        if (reader.finding() == null) return;
        FrameLog log = reader.log();
        double space = INTERMISSION_BITS * reader.finding().bitPicos();
        for (; seen < log.size(); seen++) {
            seconds.count(log, seen, Double.isNaN(space) ? 0 : space);
            long key = log.key(seen);
            if (log.isWhole(seen) && key != MessageKey.UNKNOWN && (lastHeard.size() < MOST_KEYS || lastHeard.containsKey(key))) {
                lastHeard.put(key, log.startPicos(seen));
            }
        }
        int most = options.mostFrames();
        if (log.size() > most + most / 4 + 1000) {
            reader.forget(most);
            seen = log.size();
            forgotten = true;
        }
    }

    /** Publishes what is known. */
    void tell() {
        boolean known = reader.finding() != null;
        boolean rate = known && !Double.isNaN(reader.finding().bitsPerSecond());
        LiveState.Phase phase = ended ? LiveState.Phase.ENDED : line < 0 ? LiveState.Phase.WAITING
                : rate ? LiveState.Phase.READING : LiveState.Phase.NO_RATE;
        String coding = rate ? reader.soFar(reader.log().size(), nowPicos, nowPicos).bus().coding() : "";
        tally = new Tally(phase, nowPicos * 1e-12, coding, rate ? reader.finding().bitsPerSecond() : Double.NaN,
                seconds.allWhole, seconds.allDamaged, seconds.seconds(), List.copyOf(marks), List.copyOf(gaps),
                Map.copyOf(lastHeard));
    }

    /** The newest frames, or null before there is one. */
    Window window(int most) {
        if (reader.finding() == null || reader.log().size() == 0) return null;
        int from = Math.max(0, reader.log().size() - most);
        long zero = from == 0 && !forgotten ? 0 : reader.log().startPicos(from);
        return new Window(reader.soFar(from, zero, nowPicos), zero);
    }
}
