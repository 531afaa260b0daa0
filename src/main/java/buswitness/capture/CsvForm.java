package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.List;

/** Reads CSV, RFC 4180: a time and one or more levels a row; an empty level is not known. */
final class CsvForm implements Form {
    static final int NO_LEVEL = -2;
    private static final int UNKNOWN = -1;
    /** Times from here on count from some year, not from a recording's start. */
    private static final long DISTANT_PICOS = 1_000_000_000_000_000_000L;

    private final CsvHead head;
    private final RecordingInfo info;

    CsvForm(CsvHead head, String source) {
        this.head = head;
        this.info = new RecordingInfo(source, "CSV", "", head.tickPicos(), head.names(), List.of());
    }

    @Override
    public RecordingInfo header() {
        return info;
    }

    /** @return 0, 1, -1 for unknown (empty, x, z, ?), or {@link #NO_LEVEL} */
    static int level(byte[] b, int from, int to) {
        if (to == from) return UNKNOWN;
        if (to - from > 1) return NO_LEVEL;
        return switch (b[from]) {
            case '0', 'L', 'l' -> 0;
            case '1', 'H', 'h' -> 1;
            case 'x', 'X', 'z', 'Z', '?' -> UNKNOWN;
            default -> NO_LEVEL;
        };
    }

    @Override
    public void read(ByteWindow in, EdgeGatherer out, NoticeLog notices) {
        Delimited rows = new Delimited(new TextLines(in), head.separator());
        if (head.header()) rows.next();
        DecimalTime time = new DecimalTime(head.unit().picos);
        int columns = head.names().size() + 1;
        boolean[] begun = new boolean[columns];      // without a level yet a line is not watched, which is no gap
        boolean zeroKnown = false;
        long zeroWhole = 0;
        long zeroPicos = 0;
        long now = 0;
        while (rows.next()) {
            CsvHead.decimalPoint(rows, 0, head.separator());
            boolean good = rows.count == columns && time.read(rows.bytes, rows.start[0], rows.end[0]);
            for (int c = 1; good && c < columns; c++) {
                good = level(rows.bytes, rows.start[c], rows.end[c]) != NO_LEVEL;
            }
            if (!good && !rows.lines.whole) {
                notices.add(new Notice(rows.place(-1), "The file is cut short in its last row, which was left out."));
                break;
            }
            if (!good) throw badRow(rows, time, columns);
            if (!zeroKnown) {
                zeroKnown = true;
                if (distant(time)) {
                    zeroWhole = time.whole;
                    zeroPicos = time.picos;
                    notices.add(new Notice(rows.place(0), "Times are counted from the first row, "
                            + rows.text(0) + " " + head.unit().word() + "."));
                }
            }
            long at = time.picosFrom(zeroWhole, zeroPicos);
            if (at < now) throw outOfOrder(rows, at);
            now = at;
            for (int c = 1; c < columns; c++) {
                int level = level(rows.bytes, rows.start[c], rows.end[c]);
                if (level >= 0) {
                    out.level(c - 1, at, level);
                } else if (begun[c]) {
                    out.unknown(c - 1, at, "no level is given");
                }
                begun[c] |= level >= 0;
            }
        }
        if (in.broken() != null) {
            notices.add(new Notice(rows.place(-1), "The file " + in.broken() + "; what came before was read."));
        }
        out.end(now);
    }

    /** Before zero, or so late that the times count from some year. */
    static boolean distant(DecimalTime time) {
        long at = time.picosFrom(0, 0);
        return at < 0 || at > DISTANT_PICOS;
    }

    private static InputFault outOfOrder(Delimited rows, long at) {
        if (at == DecimalTime.TOO_FAR) {
            return new InputFault(rows.place(0), "the time lies more than 106 days from the first",
                    "cut the recording to the part that matters");
        }
        return new InputFault(rows.place(0), "time goes backwards at " + rows.text(0),
                "put the rows in time order, one recording a file");
    }

    private static InputFault badRow(Delimited rows, DecimalTime time, int columns) {
        if (rows.count != columns) {
            return new InputFault(rows.place(-1), "this row has " + rows.count + " fields, the first had " + columns,
                    "give every row one time and the same number of levels");
        }
        if (!time.read(rows.bytes, rows.start[0], rows.end[0])) {
            return new InputFault(rows.place(0), "\"" + LogHeader.clip(rows.text(0)) + "\" is not a time",
                    "write a decimal number");
        }
        int c = 1;
        while (c < columns - 1 && level(rows.bytes, rows.start[c], rows.end[c]) != NO_LEVEL) c++;
        Place place = rows.place(c);
        return new InputFault(place, "\"" + LogHeader.clip(rows.text(c)) + "\" is not a level, 0 or 1",
                "leave the field empty where the level is not known");
    }
}
