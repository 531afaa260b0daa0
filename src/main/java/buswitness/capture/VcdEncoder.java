package buswitness.capture;

import java.io.IOException;
import java.io.OutputStream;
import java.util.List;

/**
 * Writes a value change dump, IEEE 1364-2005 clause 18, at 1 ps so that every time survives. Tick and notes travel in
 * comments of the header, marks in comments among the values; a gap is a stretch of x, its reason is not kept. Blanks
 * in names become underscores, since the form ends a name at a blank.
 */
final class VcdEncoder implements Encoder {
    private final TextOut out;
    private final String[] codes;
    private long stamped = -1;

    VcdEncoder(OutputStream stream, RecordingInfo info) {
        out = new TextOut(stream);
        List<String> names = LogHeader.lineNames(info.lines());
        codes = new String[names.size()];
        out.line("$comment tick: " + LogHeader.tickText(info.tickPicos()) + " $end");
        for (String note : info.notes()) out.line("$comment note: " + comment(note) + " $end");
        out.line("$timescale 1 ps $end").line("$scope module recording $end");
        for (int i = 0; i < codes.length; i++) {
            codes[i] = code(i);
            out.line("$var wire 1 " + codes[i] + " " + name(names.get(i)) + " $end");
        }
        out.line("$upscope $end").line("$enddefinitions $end");
    }

    /** Codes of printable characters, shortest first: !, ", ... ~, then two characters. */
    private static String code(int index) {
        StringBuilder code = new StringBuilder();
        for (int rest = index + 1; rest > 0; rest = (rest - 1) / 94) code.append((char) ('!' + (rest - 1) % 94));
        return code.toString();
    }

    private static String name(String name) {
        String word = name.replaceAll("\\s", "_");
        return word.startsWith("$") ? "_" + word : word;
    }

    private static String comment(String text) {
        return LogHeader.singleLine(text).replace("$end", "$ end");
    }

    private void stamp(long at) {
        if (at == stamped) return;
        out.put('#').put(at).put('\n');
        stamped = at;
    }

    @Override
    public void changes(LineQueues queues, long before) {
        for (int n = queues.merge(before); n > 0; n = queues.merge(before)) {
            for (int i = 0; i < n; i++) {
                stamp(queues.mergedAt[i]);
                out.put((char) ('0' + queues.mergedLevel[i])).put(codes[queues.mergedLine[i]]).put('\n');
            }
        }
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        stamp(atPicos);
        out.put((char) ('0' + level)).put(codes[line]).put('\n');
    }

    @Override
    public void lost(int line, long atPicos) {
        stamp(atPicos);
        for (int i = 0; i < codes.length; i++) {
            if (line < 0 || line == i) out.put('x').put(codes[i]).put('\n');
        }
    }

    @Override
    public void mark(long atPicos, String label) {
        stamp(atPicos);
        out.line("$comment mark: " + comment(label) + " $end");
    }

    @Override
    public void end(long atPicos) {
        stamp(atPicos);
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
