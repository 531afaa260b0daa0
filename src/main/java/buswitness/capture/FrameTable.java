package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;

/** Reads a frame table as its columns YAML says. A malformed row is reported and left out; too many end it. */
final class FrameTable implements FrameSource {
    /** One malformed row in so many is borne. */
    private static final int ONE_IN = 100;
    private static final int MOST_DATA = 64;
    private static final int SAMPLE_ROWS = 200;

    private final TableColumns columns;
    private final String source;
    private final int timeAt;
    private final int identifierAt;
    private final int dataAt;
    private final double tickPicos;

    private FrameTable(TableColumns columns, ByteWindow in) {
        this.columns = columns;
        this.source = in.name();
        Delimited rows = new Delimited(new TextLines(in), columns.separator());
        List<String> names = columns.header() && rows.next() ? Arrays.asList(rows.texts()) : null;
        timeAt = columns.time().in(names);
        identifierAt = columns.identifier().in(names);
        dataAt = columns.data().in(names);
        int furthest = Math.max(timeAt, Math.max(identifierAt, dataAt));
        if (names != null && furthest >= names.size()) {
            throw TableColumns.tooFewColumns(rows.place(-1), names.size(), furthest);
        }
        DecimalTime time = new DecimalTime(columns.unit().picos);
        int decimals = 0;
        int n = 0;
        while (n < SAMPLE_ROWS && rows.next()) {
            n++;
            if (rows.count > timeAt && time.read(rows.bytes, rows.start[timeAt], rows.end[timeAt])) {
                decimals = Math.max(decimals, time.tellingDecimals());
            }
        }
        if (n == 0) throw new InputFault(Place.file(source), "the table has no row", "check that the file is whole");
        tickPicos = Math.max(1, columns.unit().picos / Math.pow(10, decimals));
    }

    static FrameTable open(TableColumns columns, ByteWindow in) {
        return new FrameTable(columns, in);
    }

    @Override
    public RecordingInfo header() {
        return new RecordingInfo(source, "frame table", "", tickPicos, List.of("bus"), List.of());
    }

    @Override
    public FrameTableInfo read(ByteWindow in, Consumer<FrameRow> to, NoticeLog notices) {
        return new Reading(in, to, notices).all();
    }

    /** One reading of the rows. */
    private final class Reading {
        private final ByteWindow in;
        private final Consumer<FrameRow> to;
        private final NoticeLog notices;
        private final Delimited rows;
        private final DecimalTime time = new DecimalTime(columns.unit().picos);
        private final byte[] data = new byte[MOST_DATA];
        private boolean zeroKnown;
        private long zeroWhole;
        private long zeroPicos;
        private long now;
        private long delivered;
        private long skipped;
        private Notice firstSkipped;

        Reading(ByteWindow in, Consumer<FrameRow> to, NoticeLog notices) {
            this.in = in;
            this.to = to;
            this.notices = notices;
            this.rows = new Delimited(new TextLines(in), columns.separator());
        }

        FrameTableInfo all() {
            if (columns.header()) rows.next();
            while (rows.next()) {
                String why = row();
                if (why == null) continue;
                if (!rows.lines.whole) {
                    notices.add(new Notice(rows.place(-1),
                            "The table is cut short in its last row, which was left out."));
                    break;
                }
                skip(why);
            }
            if (in.broken() != null) {
                notices.add(new Notice(rows.place(-1), "The file " + in.broken() + "; what came before was read."));
            }
            if (skipped * ONE_IN > delivered + skipped || delivered == 0) throw tooMany();
            RecordingInfo h = header();
            return new FrameTableInfo(new RecordingInfo(h.source(), h.form(), in.drain(), h.tickPicos(), h.lines(),
                    h.notes()), columns.stamped(), columns.bitsPerSecond(), delivered, skipped, now);
        }

        private void skip(String why) {
            Notice notice = new Notice(rows.place(-1), "This row was left out: " + why + ".");
            notices.add(notice);
            if (firstSkipped == null) firstSkipped = notice;
            skipped++;
            if (skipped > 1000 && skipped > delivered) throw tooMany();
        }

        private InputFault tooMany() {
            Place place = firstSkipped == null ? Place.file(source) : firstSkipped.place();
            return new InputFault(place, skipped == 0 ? "the table has no row"
                    : skipped + " of " + (delivered + skipped) + " rows are malformed, the first is this: "
                    + firstSkipped.says().replace("This row was left out: ", "").replaceAll("\\.$", ""),
                    "check the columns YAML, or mend the table");
        }

        /** @return why the row cannot be taken, or null */
        private String row() {
            int furthest = Math.max(timeAt, identifierAt);
            if (columns.lastData() == TableColumns.IN_ONE) furthest = Math.max(furthest, dataAt);
            if (rows.count <= furthest) return "it has " + rows.count + " columns, not " + (furthest + 1);
            CsvHead.decimalPoint(rows, timeAt, columns.separator());
            if (!time.read(rows.bytes, rows.start[timeAt], rows.end[timeAt])) return "its time is not a number";
            long identifier = identifier(rows.start[identifierAt], rows.end[identifierAt]);
            if (identifier < 0) return "its identifier is not a number of base " + columns.base() + " up to 29 bits";
            int length = columns.lastData() == TableColumns.IN_ONE ? oneColumn() : byteColumns();
            if (length < 0) return "its data is not whole bytes in hexadecimal, at most " + MOST_DATA;
            if (!zeroKnown) setZero();
            long at = time.picosFrom(zeroWhole, zeroPicos);
            if (at == DecimalTime.TOO_FAR) return "its time lies more than 106 days from the first row";
            if (at < now) return "its time is before that of the row above";
            now = at;
            delivered++;
            int first = rows.start[identifierAt];
            int digits = rows.end[identifierAt] - first - (prefixed(first) ? 2 : 0);
            boolean extended = identifier > 0x7FF || digits >= 8 && columns.base() == 16;
            to.accept(new FrameRow(at, (int) identifier, extended, Arrays.copyOf(data, length),
                    (int) Math.min(rows.row, Integer.MAX_VALUE)));
            return null;
        }

        private void setZero() {
            zeroKnown = true;
            if (!CsvForm.distant(time)) return;
            zeroWhole = time.whole;
            zeroPicos = time.picos;
            notices.add(new Notice(rows.place(timeAt), "Times are counted from the first row, " + rows.text(timeAt)
                    + " " + columns.unit().word() + "."));
        }

        private boolean prefixed(int from) {
            return columns.base() == 16 && from + 2 < rows.bytes.length && rows.bytes[from] == '0'
                    && (rows.bytes[from + 1] | 0x20) == 'x';
        }

        /** @return -1 where it is none */
        private long identifier(int from, int to) {
            int i = prefixed(from) ? from + 2 : from;
            if (i >= to) return -1;
            long value = 0;
            for (; i < to; i++) {
                int digit = Character.digit(rows.bytes[i], columns.base());
                if (digit < 0) return -1;
                value = value * columns.base() + digit;
                if (value > 0x1FFF_FFFFL) return -1;
            }
            return value;
        }

        /** All bytes in one field, blanks between them allowed. @return how many, or -1 */
        private int oneColumn() {
            int i = rows.start[dataAt];
            int end = rows.end[dataAt];
            if (end - i >= 2 && rows.bytes[i] == '0' && (rows.bytes[i + 1] | 0x20) == 'x') i += 2;
            int n = 0;
            while (i < end) {
                if (rows.bytes[i] == ' ') {
                    i++;
                    continue;
                }
                if (i + 1 >= end || n == MOST_DATA) return -1;
                int high = Character.digit(rows.bytes[i], 16);
                int low = Character.digit(rows.bytes[i + 1], 16);
                if (high < 0 || low < 0) return -1;
                data[n++] = (byte) (high << 4 | low);
                i += 2;
            }
            return n;
        }

        /** One byte a column, up to the last or the first empty one. @return how many, or -1 */
        private int byteColumns() {
            int last = columns.lastData() < 0 ? rows.count - 1 : Math.min(columns.lastData(), rows.count - 1);
            int n = 0;
            for (int c = dataAt; c <= last; c++) {
                int from = rows.start[c];
                int length = rows.end[c] - from;
                if (length == 0) break;
                if (length > 2 && rows.bytes[from] == '0' && (rows.bytes[from + 1] | 0x20) == 'x') {
                    from += 2;
                    length -= 2;
                }
                if (length > 2 || n == MOST_DATA) return -1;
                int value = 0;
                for (int i = from; i < from + length; i++) {
                    int digit = Character.digit(rows.bytes[i], 16);
                    if (digit < 0) return -1;
                    value = value << 4 | digit;
                }
                data[n++] = (byte) value;
            }
            return n;
        }
    }
}
