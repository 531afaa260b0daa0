package buswitness.plan;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.IOException;
import java.io.StringReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/** What a person read off a needle: RFC 4180 CSV with the header {@code way,input,needle}. */
final class ReadingsFile {
    private ReadingsFile() {}

    static List<CalibrationJudge.Reading> parse(byte[] bytes, String source, Calibration table) {
        String text = new String(bytes, StandardCharsets.UTF_8);
        if (text.startsWith("\uFEFF")) text = text.substring(1);
        List<CalibrationJudge.Reading> out = new ArrayList<>();
        Set<String> seen = new HashSet<>();
        CSVFormat format = CSVFormat.RFC4180.builder().setIgnoreEmptyLines(true).setTrim(true).get();
        try (CSVParser rows = CSVParser.parse(new StringReader(text), format)) {
            boolean head = false;
            for (CSVRecord row : rows) {
                int line = (int) rows.getCurrentLineNumber();
                if (!head) {
                    head = true;
                    if (!row.toList().equals(List.of("way", "input", "needle"))) {
                        throw fault(source, line, "does not begin with the header 'way,input,needle'", "write it above the rows");
                    }
                    continue;
                }
                if (row.size() != 3) throw fault(source, line, "has " + row.size() + " fields", "write way,input,needle");
                String way = row.get(0).toLowerCase(Locale.ROOT);
                if (!table.ways().contains(way)) {
                    throw fault(source, line, "'" + row.get(0) + "' is no way of this table", "use "
                            + String.join(" or ", table.ways()));
                }
                double input = number(row.get(1), source, line);
                if (table.points().stream().noneMatch(p -> p.input() == input)) {
                    throw fault(source, line, "the plan has no point with the input " + row.get(1), "its points are: "
                            + String.join(", ", table.points().stream().map(Calibration.Point::inputText).toList()));
                }
                if (!seen.add(way + input)) throw fault(source, line, "this point was read above", "keep one reading");
                out.add(new CalibrationJudge.Reading(way, input, number(row.get(2), source, line)));
            }
        } catch (IOException | UncheckedIOException e) {
            throw new InputFault(Place.file(source), "is no CSV (" + e.getMessage() + ")", "check its quotes");
        }
        if (out.isEmpty()) throw new InputFault(Place.file(source), "holds no reading", "write a row for each point");
        return out;
    }

    private static double number(String text, String source, int line) {
        if (text.matches("[-+]?\\d+(\\.\\d+)?([eE][-+]?\\d{1,3})?")) return Double.parseDouble(text);
        throw fault(source, line, "'" + text + "' is not a number", "write a number such as 42.5");
    }

    private static InputFault fault(String source, int line, String what, String toDo) {
        return new InputFault(Place.text(source, line, -1), what, toDo);
    }
}
