package buswitness.capture;

import java.io.IOException;
import java.io.OutputStream;

/** Writes our bit-timed log, times in microseconds with as many decimals as they need. */
final class LogEncoder implements Encoder {
    private static final long UNIT = TimeUnit.US.picos;
    private final TextOut out;
    private final boolean several;

    LogEncoder(OutputStream stream, RecordingInfo info) {
        out = new TextOut(stream);
        several = info.lines().size() > 1;
        out.line(LogHeader.MAGIC + " 1");
        for (String line : LogHeader.format(info)) out.line(line);
        out.line("unit: us").line("changes:");
    }

    @Override
    public void changes(LineQueues queues, long before) {
        for (int n = queues.merge(before); n > 0; n = queues.merge(before)) {
            for (int i = 0; i < n; i++) entry(queues.mergedLine[i], queues.mergedAt[i], queues.mergedLevel[i]);
        }
    }

    private void entry(int line, long at, int level) {
        out.time(at, UNIT, 0).put(' ');
        if (several) out.put(line + 1L).put(' ');
        out.put((char) ('0' + level)).put('\n');
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        entry(line, atPicos, level);
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        out.time(untilPicos, UNIT, 0).put(' ');
        if (several) out.put(line < 0 ? "all" : Integer.toString(line + 1)).put(' ');
        out.put("gap since ").time(fromPicos, UNIT, 0).put(' ').line(LogHeader.singleLine(why));
    }

    @Override
    public void mark(long atPicos, String label) {
        out.time(atPicos, UNIT, 0).put(" mark ").line(LogHeader.singleLine(label));
    }

    @Override
    public void levels(LevelNote note) {
        out.time(note.startPicos(), UNIT, 0).put(' ');
        if (several) out.put(note.line() + 1L).put(' ');
        out.put("levels ").put(note.unit());
        for (float value : new float[] {note.dominant(), note.recessive(), note.step(), note.stepError(), note.slope()}) {
            out.put(' ').put(Float.isNaN(value) ? "-" : Float.toString(value));
        }
        out.put('\n');
    }

    @Override
    public void end(long atPicos) {
        out.time(atPicos, UNIT, 0).line(" end");
    }

    @Override
    public void settle() {
        out.flush();
    }

    @Override
    public void close() throws IOException {
        out.close();
    }
}
