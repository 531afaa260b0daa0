package buswitness.probe;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;

/** A recording's line as a probe would send it: blocks of some changes, reports of the tick while the line rests. */
final class EmulatedProbe implements EdgeSink {
    static final int BLOCK_CHANGES = 64;
    private static final double MOST_HERTZ = 100e6;
    private static final double REPORT_SECONDS = 0.05;

    private final OutputStream out;
    private final int line;
    private final String name;
    private final long hertz;
    private final double speed;
    private final long startNanos = System.nanoTime();
    private final LineEncoder encoder = new LineEncoder();
    private final long[] at = new long[BLOCK_CHANGES];
    private int count;
    private long since = -1;
    private long covered;
    private int levelThen;
    private int level;
    private boolean missed;
    private long nextInfo;

    EmulatedProbe(OutputStream out, int line, RecordingInfo info, double speed) {
        this.out = out;
        this.line = line;
        this.name = info.lines().get(line);
        this.hertz = Math.round(Math.min(MOST_HERTZ, Math.max(1000, 1e12 / info.tickPicos())));
        this.speed = speed;
        send(encoder.info(hertz, name), 0);
    }

    private long ticks(long picos) {
        return Math.round(picos / 1e12 * hertz);
    }

    @Override
    public void begin(int index, long atPicos, int newLevel) {
        if (index != line) return;
        since = covered = Math.max(covered, ticks(atPicos));
        levelThen = level = newLevel;
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.line != line) return;
        for (int i = 0; i < block.count; i++) {
            long now = ticks(block.atPicos[i]);
            rest(now);
            if (now <= covered) now = covered + 1;              // finer than the tick: the next one is the nearest there is
            at[count++] = covered = now;
            level = block.level[i];
            if (count == BLOCK_CHANGES || now - since >= REPORT_SECONDS * hertz) close(now);
        }
    }

    /** Tells, now and then, that nothing happened. */
    private void rest(long until) {
        long step = Math.round(REPORT_SECONDS * hertz);
        while (since >= 0 && until - since > step) close(Math.max(covered, since + step));
    }

    private void close(long until) {
        byte[] bytes = encoder.changes(since, levelThen, missed, at, count, until);
        send(bytes, until);
        since = covered = until;
        levelThen = level;
        count = 0;
        missed = false;
        if (until >= nextInfo) {
            nextInfo = until + hertz;
            send(encoder.info(hertz, name), until);
        }
    }

    @Override
    public void gap(int index, long fromPicos, long untilPicos, String why) {
        if (index >= 0 && index != line || since < 0) return;
        long from = Math.max(covered, ticks(fromPicos));
        rest(from);
        if (from > since || count > 0) close(from);
        since = -1;
        missed = true;
    }

    @Override
    public void end(long atPicos) {
        long now = Math.max(covered, ticks(atPicos));
        if (since < 0) return;
        rest(now);
        close(now);
    }

    private void send(byte[] bytes, long tick) {
        long due = startNanos + (long) (tick / (double) hertz / speed * 1e9);
        try {
            long wait = due - System.nanoTime();
            if (wait > 1_000_000) Thread.sleep(wait / 1_000_000);
            out.write(bytes);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new UncheckedIOException(new IOException("interrupted"));
        }
    }
}
