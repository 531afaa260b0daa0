package buswitness.capture;

import buswitness.capture.FrameTableInfo.Stamped;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.DocumentKind;
import buswitness.schema.Quantity;
import buswitness.schema.YamlDocument;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Which column of a frame table holds what, as its YAML says; the form is described in captures/README.md.
 *
 * @param separator     a blank stands for runs of blanks and tabs
 * @param header        the first row names the columns
 * @param time          column of the stamps
 * @param unit          of the stamps
 * @param identifier    column of the identifiers
 * @param base          in which identifiers are written, 2 to 36
 * @param data          first column of the payload
 * @param lastData      last column of the payload where each column holds one byte: -1 up to the row's end, and
 *                      {@link #IN_ONE} where one column holds it all
 * @param stamped       which end of a frame a stamp names
 * @param bitsPerSecond or NaN
 */
record TableColumns(char separator, boolean header, Column time, TimeUnit unit, Column identifier, int base,
                    Column data, int lastData, Stamped stamped, double bitsPerSecond) {
    static final int IN_ONE = -2;
    private static final int MOST_COLUMNS = 10_000;
    private static final Pattern FROM = Pattern.compile("(\\d{1,5})\\s*\\.\\.\\s*(\\d{1,5})?");

    /** A column by header name, or by index from 0 where the name is null. */
    record Column(String name, int index, YamlValue said) {
        /** @param names the header, or null where the table has none */
        int in(List<String> names) {
            if (name == null) return index;
            if (names == null) {
                throw said.fault("the table has no header that could name the column '" + name + "'",
                        "give the column's number, from 1, or header: true");
            }
            int exact = names.indexOf(name);
            if (exact >= 0) return exact;
            for (int i = 0; i < names.size(); i++) {
                if (names.get(i).equalsIgnoreCase(name.strip())) return i;
            }
            throw said.unknown("column", names);
        }
    }

    static TableColumns load(Path file) {
        return of(YamlDocument.load(file).root());
    }

    static TableColumns of(YamlMap root) {
        DocumentKind.COLUMNS.need(root).allow("separator", "header", "time", "id", "data", "stamped", "rate");
        boolean header = root.get("header") == null || root.get("header").flag();
        YamlMap time = root.need("time", "time: {column: 1, unit: s}").map().allow("column", "unit");
        YamlMap id = root.need("id", "id: {column: 2, base: 16}").map().allow("column", "base");
        YamlMap data = root.need("data", "data: {column: 3}").map().allow("column", "columns", "until");
        YamlValue unitSaid = time.need("unit", "unit: s");
        TimeUnit unit = TimeUnit.of(unitSaid.text());
        if (unit == null) throw unitSaid.unknown("unit", Arrays.asList(TimeUnit.CHOICE.split(", | or ")));
        int base = id.get("base") == null ? 16 : (int) id.get("base").whole(2, 36);
        YamlValue stamped = root.get("stamped");
        Stamped stamp = stamped == null ? Stamped.UNKNOWN
                : Stamped.valueOf(stamped.oneOf("start", "end", "unknown").toUpperCase(Locale.ROOT));
        double rate = root.get("rate") == null ? Double.NaN : root.get("rate").quantity(Quantity.BIT_RATE, 1, 1e8);
        return new TableColumns(separator(root.get("separator")), header, column(time), unit, column(id), base,
                firstData(data), lastData(data), stamp, rate);
    }

    private static char separator(YamlValue value) {
        if (value == null) return ',';
        String text = value.text();
        if (text.equals("\\t") || text.equals("tab")) return '\t';
        if (text.length() != 1 || text.charAt(0) > '~' || text.equals("\"")
                || Character.isLetterOrDigit(text.charAt(0))) {
            throw value.fault("'" + text + "' cannot separate columns", "use \",\", \";\", \"\\t\" or \" \"");
        }
        return text.charAt(0);
    }

    private static Column column(YamlMap of) {
        YamlValue said = of.need("column", "column: 1, or the column's name in the header");
        String text = said.text().strip();
        if (!text.matches("\\d+")) return new Column(text, -1, said);
        return new Column(null, (int) said.whole(1, MOST_COLUMNS) - 1, said);
    }

    private static Column firstData(YamlMap data) {
        if (data.has("column") == data.has("columns")) {
            throw data.fault("the payload lies either in one column or in several", "give column: 4, or columns: 4..");
        }
        if (data.has("column")) return column(data);
        return new Column(null, from(data.get("columns"), 1) - 1, data.get("columns"));
    }

    private static int lastData(YamlMap data) {
        YamlValue until = data.get("until");
        if (data.has("column")) {
            if (until != null) throw data.fault("until", "one column needs no until", "remove it, or use columns: 4..");
            return IN_ONE;
        }
        YamlValue columns = data.get("columns");
        int first = from(columns, 1);
        int last = from(columns, 2);
        if (until != null && last >= 0) throw data.fault("until", "the end is said twice", "keep one of the two");
        if (until != null) last = (int) until.whole(1, MOST_COLUMNS);
        if (last >= 0 && last < first) throw columns.fault("the columns run backwards", "write the smaller first");
        return last < 0 ? -1 : last - 1;
    }

    /** @return a number of {@code 4..} or {@code 4..11}; -1 for an end that is not said */
    private static int from(YamlValue columns, int group) {
        Matcher m = FROM.matcher(columns.text().strip());
        if (!m.matches() || Integer.parseInt(m.group(1)) < 1) {
            throw columns.fault("'" + columns.text() + "' is no range of columns", "write it like 4.. or 4..11");
        }
        return m.group(group) == null ? -1 : Integer.parseInt(m.group(group));
    }

    /** A fault of the table for a column number that it does not reach. */
    static InputFault tooFewColumns(Place place, int columns, int wanted) {
        return new InputFault(place, "the table has " + columns + " columns, the YAML asks for column " + (wanted + 1),
                "check separator: and the numbers of the columns, counted from 1");
    }
}
