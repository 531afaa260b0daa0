package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What the first rows of a CSV tell: separator, header, unit of time, names of the level columns.
 *
 * @param separator   comma, semicolon or tab
 * @param header      the first row names the columns
 * @param unit        of the time column
 * @param names       of the level columns, in order
 * @param tickPicos   one step of the last decimal place that the first rows use
 */
record CsvHead(char separator, boolean header, TimeUnit unit, List<String> names, double tickPicos) {
    private static final int SAMPLE_ROWS = 500;
    /** A last word in brackets, or alone, or set off by a blank, underscore, slash, point or dash. */
    private static final Pattern UNIT =
            Pattern.compile("(?:.*[\\[(]\\s*(\\p{L}+)\\s*[\\])]|(?:.*[\\s_/.-])?(\\p{L}+))");

    /** What was met on the way, for the message where it is no CSV of levels. */
    record Outcome(CsvHead head, InputFault fault) {}

    /** @return the head, or why the text is no CSV of times and levels; the window is left anywhere */
    static Outcome read(ByteWindow in, String optionUnit) {
        in.need(1 << 16);
        String sample = new String(in.bytes, in.pos, Math.min(in.limit - in.pos, 1 << 16), StandardCharsets.UTF_8);
        char separator = separator(sample);
        Delimited rows = new Delimited(new TextLines(in), separator);
        Place file = Place.file(in.name());
        String[] names = null;
        DecimalTime time = new DecimalTime(TimeUnit.S.picos);
        int decimals = 0;
        int columns = -1;
        for (int n = 0; n < SAMPLE_ROWS && rows.next() && (rows.lines.whole || columns < 0); n++) {
            decimalPoint(rows, 0, separator);
            boolean numeric = rows.count > 0 && time.read(rows.bytes, rows.start[0], rows.end[0]);
            if (!numeric && names == null && columns < 0) {
                names = rows.texts();
                continue;
            }
            if (!numeric || rows.count < 2 || names != null && rows.count != names.length) {
                return new Outcome(null, new InputFault(rows.place(0), "this is no row of a time and a level",
                        "give time,level rows, or say with --columns which column of a frame table holds what"));
            }
            for (int c = 1; c < rows.count; c++) {
                if (CsvForm.level(rows.bytes, rows.start[c], rows.end[c]) == CsvForm.NO_LEVEL) {
                    return new Outcome(null, new InputFault(rows.place(c), "\"" + LogHeader.clip(rows.text(c))
                            + "\" is not a level, 0 or 1", "record the wire as 0 and 1, or say with --columns which "
                            + "column of a frame table holds what"));
                }
            }
            columns = rows.count;
            decimals = Math.max(decimals, time.tellingDecimals());
        }
        if (columns < 0) {
            return new Outcome(null, new InputFault(file, "no row of a time and a level was found",
                    "check that this is a recording"));
        }
        TimeUnit unit = unit(optionUnit, names, file);
        double tick = Math.max(1, unit.picos / Math.pow(10, decimals));
        return new Outcome(new CsvHead(separator, names != null, unit, lineNames(names, columns),
                LogHeader.sensible(tick, file)), null);
    }

    private static char separator(String sample) {
        String[] rows = sample.split("\r?\n", 3);
        String row = rows.length > 1 && !rows[1].isEmpty() ? rows[1] : rows[0];
        if (row.indexOf('\t') >= 0) return '\t';
        return row.indexOf(';') >= 0 ? ';' : ',';
    }

    /** Where the comma does not separate it may stand for the decimal point, as much of Europe writes it. */
    static void decimalPoint(Delimited rows, int field, char separator) {
        if (separator == ',' || field >= rows.count) return;
        for (int i = rows.start[field]; i < rows.end[field]; i++) {
            if (rows.bytes[i] == ',') rows.bytes[i] = '.';
        }
    }

    private static TimeUnit unit(String option, String[] names, Place file) {
        if (option != null) {
            TimeUnit unit = TimeUnit.of(option);
            if (unit == null) {
                throw new InputFault(file, "--time-unit " + LogHeader.clip(option) + " is no unit of time",
                        "use " + TimeUnit.CHOICE);
            }
            return unit;
        }
        TimeUnit unit = names == null ? null : unitIn(names[0]);
        if (unit == null) {
            throw new InputFault(file, names == null ? "without a header the unit of the times is not known"
                    : "the header \"" + LogHeader.clip(names[0]) + "\" does not say the unit of the times",
                    "say it with --time-unit " + TimeUnit.CHOICE);
        }
        return unit;
    }

    /** The unit in names such as {@code time_s}, {@code time [us]}, {@code Time (ms)}, {@code t/ns}; null if none. */
    static TimeUnit unitIn(String name) {
        Matcher m = UNIT.matcher(name.strip());
        if (!m.matches()) return null;
        return TimeUnit.of(m.group(1) != null ? m.group(1) : m.group(2));
    }

    private static List<String> lineNames(String[] names, int columns) {
        List<String> out = new ArrayList<>();
        Set<String> taken = new HashSet<>();
        for (int c = 1; c < columns; c++) {
            String name = names == null || names[c].isBlank() ? "column " + (c + 1) : names[c];
            out.add(taken.add(name) ? name : name + " (column " + (c + 1) + ")");
        }
        return out;
    }
}
