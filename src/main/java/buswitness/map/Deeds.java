package buswitness.map;

import buswitness.frames.Mark;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.DocumentKind;
import buswitness.schema.YamlDocument;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.io.IOException;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/**
 * Reads what was done and seen: sentences in a YAML list, a CSV table, or the marks of a recording. captures/done-format.md
 * describes them.
 */
public final class Deeds {
    private static final String NUMBER = "[-+]?\\d+(?:\\.\\d+)?";
    private static final String TIME = "(" + NUMBER + ")\\s*(s|ms|min)";
    private static final String ON = "on|engaged|pressed|open|lit|running|begins";
    private static final String OFF = "off|released|closed|dark|stopped|ends";
    private static final String VALUE = "(" + NUMBER
            + "|empty|a quarter|quarter|half|three quarters|full)(?:\\s*([^\\s\\d]\\S*))?";
    private static final Pattern RAMP = Pattern.compile("(.+?) from " + VALUE + " to " + VALUE + " from " + TIME + " to "
            + TIME);
    private static final Pattern STATE = Pattern.compile("(.+?)(?: (?:" + ON + "))?(?: from)? " + TIME + " to " + TIME);
    private static final Pattern READING = Pattern.compile("(.+?) at " + VALUE + " at " + TIME);
    private static final Pattern SWITCH = Pattern.compile("(.+?) (" + ON + "|" + OFF + ") at " + TIME);
    private static final Pattern MARK_READING = Pattern.compile("(.+?) at " + VALUE);
    private static final Pattern MARK_SWITCH = Pattern.compile("(.+?) (" + ON + "|" + OFF + ")");

    private final List<Deed> deeds = new ArrayList<>();
    private final Map<String, Double> openSince = new LinkedHashMap<>();

    private Deeds() {}

    /** @throws InputFault where the file cannot be read or says something that is not understood */
    public static List<Deed> load(Path file) {
        return file.toString().toLowerCase(Locale.ROOT).endsWith(".csv") ? table(file) : sentences(file);
    }

    /** What the marks of a recording say; marks of another form are left out. */
    public static List<Deed> ofMarks(List<Mark> marks) {
        Deeds deeds = new Deeds();
        for (Mark mark : marks) {
            String text = mark.label().strip().replaceAll("\\s+", " ");
            double at = mark.atPicos() * 1e-12;
            Matcher reading = MARK_READING.matcher(text);
            Matcher onOff = MARK_SWITCH.matcher(text);
            if (reading.matches()) deeds.reading(reading.group(1), reading.group(2), reading.group(3), at);
            else if (onOff.matches()) deeds.turn(onOff.group(1), onOff.group(2).matches(ON), at);
        }
        return deeds.done();
    }

    private static List<Deed> sentences(Path file) {
        YamlMap root = DocumentKind.DEEDS.need(YamlDocument.load(file).root()).allow("done", "note");
        Deeds deeds = new Deeds();
        for (YamlValue entry : root.need("done", "done: [reverse on from 30 s to 34 s]").list()) {
            if (!deeds.sentence(entry.text().strip().replaceAll("\\s+", " "))) {
                throw entry.fault("'" + entry.text() + "' is not understood", "write it like 'coolant gauge at half at 12.5 s',"
                        + " 'reverse on from 30 s to 34 s', 'reverse on at 30 s' or 'vehicle speed from 0 to 60 km/h from 5 s"
                        + " to 15 s'");
            }
        }
        List<Deed> done = deeds.done();
        if (done.isEmpty()) throw root.fault("says nothing that was done", "write at least one sentence");
        for (Deed d : done) {
            if (!Double.isNaN(d.untilSeconds()) && d.untilSeconds() < d.fromSeconds()) {
                throw root.fault("'" + d.what() + "' ends at " + d.untilSeconds() + " s, before it begins",
                        "write the earlier time first");
            }
        }
        return done;
    }

    private boolean sentence(String text) {
        Matcher m = RAMP.matcher(text);
        if (m.matches()) {
            String unit = unit(m.group(4), m.group(5), m.group(2), m.group(3));
            deeds.add(new Deed(m.group(1), unit, false, time(m.group(6), m.group(7)), time(m.group(8), m.group(9)),
                    value(m.group(2)), value(m.group(4))));
            return true;
        }
        m = READING.matcher(text);
        if (m.matches()) {
            reading(m.group(1), m.group(2), m.group(3), time(m.group(4), m.group(5)));
            return true;
        }
        m = SWITCH.matcher(text);
        if (m.matches()) {
            turn(m.group(1), m.group(2).matches(ON), time(m.group(3), m.group(4)));
            return true;
        }
        m = STATE.matcher(text);
        if (!m.matches()) return false;
        deeds.add(new Deed(m.group(1), "", true, time(m.group(2), m.group(3)), time(m.group(4), m.group(5)), Double.NaN,
                Double.NaN));
        return true;
    }

    private void reading(String what, String value, String unit, double at) {
        double v = value(value);
        deeds.add(new Deed(what, unit(value, unit, value, unit), false, at, at, v, v));
    }

    /** Switched on: a state begins; switched off: it ends, or had been on from the start. */
    private void turn(String what, boolean on, double at) {
        if (on) {
            openSince.putIfAbsent(what, at);
            return;
        }
        Double since = openSince.remove(what);
        deeds.add(new Deed(what, "", true, since == null ? 0 : since, at, Double.NaN, Double.NaN));
    }

    private List<Deed> done() {
        openSince.forEach((what, at) -> deeds.add(new Deed(what, "", true, at, Double.NaN, Double.NaN, Double.NaN)));
        return List.copyOf(deeds);
    }

    private static double time(String number, String unit) {
        return Double.parseDouble(number) * (unit.equals("ms") ? 1e-3 : unit.equals("min") ? 60 : 1);
    }

    private static double value(String word) {
        return switch (word) {
            case "empty" -> 0;
            case "quarter", "a quarter" -> 25;
            case "half" -> 50;
            case "three quarters" -> 75;
            case "full" -> 100;
            default -> Double.parseDouble(word);
        };
    }

    private static String unit(String value, String unit, String otherValue, String otherUnit) {
        if (unit != null) return unit;
        if (otherUnit != null) return otherUnit;
        return value.matches(NUMBER) && otherValue.matches(NUMBER) ? "" : "%";
    }

    private static List<Deed> table(Path file) {
        CSVFormat format = CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).setTrim(true)
                .setIgnoreEmptyLines(true).setAllowMissingColumnNames(true).get();
        Deeds deeds = new Deeds();
        try (Reader in = Files.newBufferedReader(file, StandardCharsets.UTF_8); CSVParser parser = format.parse(in)) {
            for (String needed : List.of("what", "from_s")) {
                if (!parser.getHeaderMap().containsKey(needed)) {
                    throw new InputFault(Place.text(file.toString(), 1, -1), "has no column '" + needed + "'",
                            "begin with the line what,from_s,until_s,value,until_value,unit");
                }
            }
            for (CSVRecord row : parser) deeds.row(file, row, parser.getCurrentLineNumber());
        } catch (NoSuchFileException e) {
            throw new InputFault(Place.file(file.toString()), "there is no such file", "check its name and folder");
        } catch (IOException | java.io.UncheckedIOException | IllegalStateException | IllegalArgumentException e) {
            throw new InputFault(Place.file(file.toString()), "cannot be read as CSV", "save it as RFC 4180 CSV in UTF-8");
        }
        if (deeds.deeds.isEmpty()) {
            throw new InputFault(Place.file(file.toString()), "says nothing that was done", "write at least one row");
        }
        return deeds.done();
    }

    private void row(Path file, CSVRecord row, long line) {
        String what = cell(row, "what");
        double from = number(file, row, line, "from_s");
        double until = number(file, row, line, "until_s");
        double value = number(file, row, line, "value");
        double untilValue = number(file, row, line, "until_value");
        if (what.isEmpty() || Double.isNaN(from) || until < from) {
            throw new InputFault(Place.text(file.toString(), (int) line, -1), until < from ? "ends before it begins"
                    : "lacks 'what' or 'from_s'", "write a name and a time in seconds, such as reverse,30,34,,,");
        }
        boolean state = Double.isNaN(value);
        deeds.add(new Deed(what, cell(row, "unit"), state, from, state || !Double.isNaN(until) ? until : from, value,
                Double.isNaN(untilValue) ? value : untilValue));
    }

    private static String cell(CSVRecord row, String column) {
        return row.isMapped(column) && row.isSet(column) ? row.get(column) : "";
    }

    private static double number(Path file, CSVRecord row, long line, String column) {
        String text = cell(row, column);
        if (text.isEmpty()) return Double.NaN;
        if (text.matches(NUMBER)) return Double.parseDouble(text);
        throw new InputFault(Place.text(file.toString(), (int) line, -1), "'" + text + "' in column '" + column
                + "' is no number", "write a plain number");
    }
}
