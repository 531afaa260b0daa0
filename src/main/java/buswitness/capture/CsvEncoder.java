package buswitness.capture;

import java.io.IOException;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.csv.CSVFormat;

/**
 * Writes CSV, RFC 4180: seconds and every line's level, one row an instant, empty where the level is not known, the
 * last row at the end. Seconds carry as many decimals as the tick has, more where a time needs them; notes, marks and
 * reasons of gaps are not kept.
 */
final class CsvEncoder implements Encoder {
    private static final long UNIT = TimeUnit.S.picos;
    private final TextOut out;
    private final char[] levels;
    private final int leastDecimals;
    private long rowAt = -1;

    CsvEncoder(OutputStream stream, RecordingInfo info) {
        out = new TextOut(stream);
        List<String> names = new ArrayList<>(List.of("time_s"));
        names.addAll(LogHeader.lineNames(info.lines()));
        out.put(CSVFormat.RFC4180.format(names.toArray())).put("\r\n");
        levels = new char[info.lines().size()];
        Arrays.fill(levels, ' ');
        leastDecimals = decimals(info.tickPicos());
    }

    /** Decimals of a second down to the tick: 6 for 1 us, 12 where the tick is no whole number of picoseconds. */
    static int decimals(double tickPicos) {
        if (tickPicos != Math.rint(tickPicos)) return 12;
        int decimals = 12;
        for (double step = 10; decimals > 0 && tickPicos % step == 0; step *= 10) decimals--;
        return decimals;
    }

    /** Closes the row of an earlier instant: only then is every line's level at it known. */
    private void at(long at) {
        if (rowAt >= 0 && at != rowAt) row();
        rowAt = at;
    }

    private void row() {
        out.time(rowAt, UNIT, leastDecimals);
        for (char level : levels) {
            out.put(',');
            if (level != ' ') out.put(level);
        }
        out.put('\r').put('\n');
    }

    @Override
    public void changes(LineQueues queues, long before) {
        for (int n = queues.merge(before); n > 0; n = queues.merge(before)) {
            for (int i = 0; i < n; i++) {
                at(queues.mergedAt[i]);
                levels[queues.mergedLine[i]] = (char) ('0' + queues.mergedLevel[i]);
            }
        }
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        at(atPicos);
        levels[line] = (char) ('0' + level);
    }

    @Override
    public void lost(int line, long atPicos) {
        at(atPicos);
        if (line < 0) Arrays.fill(levels, ' ');
        else levels[line] = ' ';
    }

    @Override
    public void end(long atPicos) {
        at(atPicos);
        row();
        rowAt = -1;
    }

    @Override
    public void settle() {
        out.flush();
    }

    @Override
    public void close() throws IOException {
        if (rowAt >= 0) row();
        out.close();
    }
}
