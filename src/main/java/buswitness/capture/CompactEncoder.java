package buswitness.capture;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.zip.CRC32;

/** Writes our compact recording, block by block; a block holds some thousand changes or some seconds. */
final class CompactEncoder implements Encoder {
    private static final int BLOCK_CHANGES = 4096;
    private static final int BLOCK_BYTES = 1 << 16;
    private static final int INDEX_BYTES = 1 << 18;
    private static final int BLOCK_LEVELS = 1024;
    private static final long BLOCK_PICOS = 10 * TimeUnit.S.picos;
    /** Longest reason or label kept, in bytes. */
    private static final int MOST_TEXT = 1000;

    private final OutputStream out;
    private final TickScale scale;
    private final byte[] levels;
    private final byte[] levelsAtStart;
    private final long[] changesOfLine;
    private final ByteArrayOutputStream entries = new ByteArrayOutputStream();
    private final ByteArrayOutputStream index = new ByteArrayOutputStream();
    private final ByteArrayOutputStream notes = new ByteArrayOutputStream();
    private LevelNote firstNote;
    private LevelNote lastNote;
    private int noted;
    private long from;
    private long covered;
    private int changesInBlock;
    private long written;
    private long number;
    private long indexed;
    private long lastOffset;
    private long lastFrom;
    private long lastIndex;
    private long end = -1;

    CompactEncoder(OutputStream stream, RecordingInfo info) {
        out = stream;
        scale = TickScale.of(info.tickPicos());
        levels = new byte[info.lines().size()];
        Arrays.fill(levels, (byte) CompactForm.UNKNOWN_LEVEL);
        levelsAtStart = levels.clone();
        changesOfLine = new long[levels.length];
        byte[] header = (String.join("\n", LogHeader.format(info)) + "\n").getBytes(StandardCharsets.UTF_8);
        raw(CompactBlocks.MAGIC);
        block(CompactBlocks.HEADER, header);
        block(CompactBlocks.HEADER, header);                // again, since nothing else tells the lines' names
    }

    @Override
    public void changes(LineQueues queues, long before) {
        long cut;
        do {
            cut = before;
            int room = BLOCK_CHANGES - changesInBlock;
            for (int i = 0; i < queues.lines(); i++) {
                LineQueues.Queue q = queues.queue(i);
                if (q.tail - q.head > room) cut = Math.min(cut, q.at[q.head + room]);
            }
            for (int i = 0; i < queues.lines(); i++) run(i, queues.queue(i), cut);
            if (cut != Long.MAX_VALUE) {
                covered = Math.max(covered, cut - 1);       // what happens at that very instant may still come
                boolean late = entries.size() > 0 && covered - from >= BLOCK_PICOS;
                if (late || changesInBlock >= BLOCK_CHANGES || entries.size() >= BLOCK_BYTES) close(covered);
            }
        } while (cut < before);
    }

    private void run(int line, LineQueues.Queue q, long before) {
        int count = q.before(before);
        if (count == 0) return;
        boolean inTicks = true;
        for (int i = q.head; inTicks && i < q.head + count; i++) inTicks = scale.ticks(q.at[i]) >= 0;
        TickScale unit = inTicks ? scale : TickScale.PICOS;
        entries.write(inTicks ? CompactForm.CHANGES_TICKS : CompactForm.CHANGES_PICOS);
        count(entries, line);
        entries.write(q.level[q.head]);
        long units = unit.ticks(q.at[q.head]);
        count(entries, units);
        count(entries, count - 1);
        for (int i = q.head + 1; i < q.head + count; i++) {
            long next = unit.ticks(q.at[i]);
            count(entries, next - units);
            units = next;
        }
        int last = q.head + count - 1;
        covered = Math.max(covered, q.at[last]);
        levels[line] = q.level[last];
        q.head += count;
        changesInBlock += count;
        changesOfLine[line] += count;
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        entries.write(CompactForm.BEGIN);
        count(entries, line);
        entries.write(level);
        count(entries, atPicos);
        levels[line] = (byte) level;
        covered = Math.max(covered, atPicos);
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        entries.write(CompactForm.GAP);
        count(entries, line + 1L);
        count(entries, fromPicos);
        count(entries, untilPicos);
        text(why);
        if (line < 0) Arrays.fill(levels, (byte) CompactForm.UNKNOWN_LEVEL);
        else levels[line] = CompactForm.UNKNOWN_LEVEL;
        covered = Math.max(covered, untilPicos);
    }

    @Override
    public void mark(long atPicos, String label) {
        entries.write(CompactForm.MARK);
        count(entries, atPicos);
        text(label);
        covered = Math.max(covered, atPicos);
    }

    /** Blocks of their own, which readers from before pass over. */
    @Override
    public void levels(LevelNote note) {
        boolean goesOn = firstNote != null && firstNote.line() == note.line() && firstNote.unit().equals(note.unit());
        if (firstNote != null && (!goesOn || noted == BLOCK_LEVELS)) closeNotes();
        if (firstNote == null) firstNote = lastNote = note;
        count(notes, note.startPicos() - lastNote.startPicos());
        for (float value : new float[] {note.dominant(), note.recessive(), note.step(), note.stepError(), note.slope()}) {
            int bits = Float.floatToIntBits(value);
            for (int i = 0; i < 4; i++) notes.write(bits >>> 8 * i);
        }
        lastNote = note;
        noted++;
    }

    private void closeNotes() {
        if (firstNote == null) return;
        ByteArrayOutputStream payload = new ByteArrayOutputStream(notes.size() + 32);
        count(payload, firstNote.line());
        byte[] unit = firstNote.unit().getBytes(StandardCharsets.UTF_8);
        count(payload, unit.length);
        payload.writeBytes(unit);
        count(payload, firstNote.startPicos());
        payload.writeBytes(notes.toByteArray());
        block(CompactBlocks.LEVELS, payload.toByteArray());
        notes.reset();
        firstNote = lastNote = null;
        noted = 0;
    }

    @Override
    public void end(long atPicos) {
        entries.write(CompactForm.END);
        count(entries, atPicos);
        covered = Math.max(covered, atPicos);
        close(covered);
        end = atPicos;
    }

    @Override
    public void settle() throws IOException {
        if (entries.size() > 0 || covered > from) close(covered);
        out.flush();
    }

    private void text(String text) {
        byte[] bytes = LogHeader.clip(LogHeader.singleLine(text), MOST_TEXT).getBytes(StandardCharsets.UTF_8);
        count(entries, bytes.length);
        entries.writeBytes(bytes);
    }

    private static void count(ByteArrayOutputStream to, long value) {
        long rest = value;
        while (rest >= 0x80) {
            to.write((int) (rest & 0x7F) | 0x80);
            rest >>>= 7;
        }
        to.write((int) rest);
    }

    private void close(long until) {
        closeNotes();
        ByteArrayOutputStream payload = new ByteArrayOutputStream(entries.size() + 64);
        count(payload, levels.length);
        count(payload, from);
        count(payload, until - from);
        count(payload, scale.num());
        count(payload, scale.den());
        payload.writeBytes(levelsAtStart);
        payload.writeBytes(entries.toByteArray());
        count(index, written - lastOffset);
        count(index, from - lastFrom);
        count(index, changesInBlock);
        lastOffset = written;
        lastFrom = from;
        indexed++;
        block(CompactBlocks.CHANGES, payload.toByteArray());
        if (index.size() >= INDEX_BYTES) index();
        entries.reset();
        changesInBlock = 0;
        from = until;
        System.arraycopy(levels, 0, levelsAtStart, 0, levels.length);
    }

    /** Lists the blocks since the last index, so that no list grows without bound. */
    private void index() {
        ByteArrayOutputStream payload = new ByteArrayOutputStream();
        count(payload, end + 1);
        count(payload, lastIndex);
        count(payload, levels.length);
        for (long changes : changesOfLine) count(payload, changes);
        count(payload, indexed);
        payload.writeBytes(index.toByteArray());
        lastIndex = written;
        block(CompactBlocks.INDEX, payload.toByteArray());
        index.reset();
        indexed = lastOffset = lastFrom = 0;
    }

    private void block(byte kind, byte[] payload) {
        byte[] all = new byte[CompactBlocks.HEAD + payload.length];
        System.arraycopy(CompactBlocks.MARKER, 0, all, 0, CompactBlocks.MARKER.length);
        all[4] = kind;
        u32(all, 5, number++);
        u32(all, 9, payload.length);
        System.arraycopy(payload, 0, all, CompactBlocks.HEAD, payload.length);
        CRC32 crc = new CRC32();
        crc.update(all, 4, 9);
        crc.update(payload, 0, payload.length);
        u32(all, 13, crc.getValue());
        raw(all);
    }

    private static void u32(byte[] to, int at, long value) {
        for (int i = 0; i < 4; i++) to[at + i] = (byte) (value >>> 8 * i);
    }

    private void raw(byte[] bytes) {
        try {
            out.write(bytes);
            written += bytes.length;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Without an end there is no index either: the reader then knows that the recording was cut short. */
    @Override
    public void close() throws IOException {
        if (end >= 0) {
            index();
            byte[] trailer = new byte[CompactBlocks.TRAILER];
            for (int i = 0; i < 8; i++) trailer[i] = (byte) (lastIndex >>> 8 * i);
            for (int i = 0; i < 4; i++) trailer[8 + i] = CompactBlocks.MARKER[3 - i];
            raw(trailer);
        } else if (entries.size() > 0) {
            close(covered);
        }
        out.close();
    }
}
