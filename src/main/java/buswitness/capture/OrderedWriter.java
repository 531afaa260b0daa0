package buswitness.capture;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Puts what several lines report into one order of time before an {@link Encoder} writes it. Holds what is not yet
 * sure: with one line nearly nothing, with several what lies after the last {@link #upTo}.
 */
final class OrderedWriter implements RecordingWriter {
    /** Above this many lines only upTo tells what is sure. */
    private static final int FEW_LINES = 64;

    private enum Kind { BEGIN, LOST, GAP, MARK, LEVELS }

    /** Anything but a change, waiting for its turn; sorted by {@code at}. */
    private record Event(long at, Kind kind, int line, long from, int level, String text, LevelNote note) {
        Event(long at, Kind kind, int line, long from, int level, String text) {
            this(at, kind, line, from, level, text, null);
        }
    }

    private final Encoder encoder;
    private final LineQueues queues;
    private final List<Event> events = new ArrayList<>();
    private final long[] lastAt;
    private boolean ended;

    OrderedWriter(RecordingInfo info, Encoder encoder) {
        this.encoder = encoder;
        this.queues = new LineQueues(info.lines().size());
        this.lastAt = new long[info.lines().size()];
        Arrays.fill(lastAt, -1);
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        lastAt[line] = Math.max(lastAt[line], atPicos);
        insert(new Event(atPicos, Kind.BEGIN, line, 0, level, ""));
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.count == 0) return;
        queues.add(block);
        lastAt[block.line] = block.atPicos[block.count - 1];
        if (lastAt.length == 1) {
            drain(lastAt[0] + 1);
        } else if (lastAt.length <= FEW_LINES) {
            drain(Arrays.stream(lastAt).min().orElse(0));
        }
    }

    /** The loss is written where it happens, but after the line's last change: one instant carries one level. */
    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        long last = line >= 0 ? lastAt[line] : Arrays.stream(lastAt).max().orElse(-1);
        insert(new Event(Math.max(fromPicos, Math.min(last + 1, untilPicos)), Kind.LOST, line, 0, 0, ""));
        insert(new Event(untilPicos, Kind.GAP, line, fromPicos, 0, why));
    }

    @Override
    public void mark(long atPicos, String label) {
        insert(new Event(atPicos, Kind.MARK, -1, 0, 0, label));
    }

    @Override
    public void levels(LevelNote note) {
        insert(new Event(note.startPicos(), Kind.LEVELS, note.line(), 0, 0, "", note));
    }

    private void insert(Event event) {
        int place = events.size();
        while (place > 0 && events.get(place - 1).at > event.at) place--;
        events.add(place, event);
    }

    @Override
    public void upTo(long atPicos) {
        drain(atPicos);
    }

    private void drain(long before) {
        int done = 0;
        while (done < events.size() && events.get(done).at < before) {
            Event e = events.get(done++);
            encoder.changes(queues, e.at);
            switch (e.kind) {
                case BEGIN -> encoder.begin(e.line, e.at, e.level);
                case LOST -> encoder.lost(e.line, e.at);
                case GAP -> encoder.gap(e.line, e.from, e.at, e.text);
                case MARK -> encoder.mark(e.at, e.text);
                case LEVELS -> encoder.levels(e.note);
                default -> throw new IllegalStateException();
            }
        }
        events.subList(0, done).clear();
        encoder.changes(queues, before);
    }

    /** A mark behind the end, as recordings of an earlier version may hold, is moved to it: no reader takes time going back. */
    @Override
    public void end(long atPicos) {
        drain(atPicos + 1);
        for (Event e : events) if (e.kind == Kind.MARK) encoder.mark(atPicos, e.text);
        events.removeIf(e -> e.kind == Kind.MARK);
        drain(Long.MAX_VALUE);
        encoder.end(atPicos);
        ended = true;
    }

    @Override
    public void settle() throws IOException {
        encoder.settle();
    }

    /** What was held back is written even where the recording has no end. */
    @Override
    public void close() throws IOException {
        if (!ended) drain(Long.MAX_VALUE);
        ended = true;
        encoder.close();
    }
}
