package buswitness.capture;

import buswitness.problem.InputFault;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;

/**
 * Splits delimited text, RFC 4180, into fields that lie in {@link #bytes} from {@link #start} to {@link #end}. Rows
 * without a quote, nearly all of them, are split in place; a row with one goes through Commons CSV.
 */
final class Delimited {
    final TextLines lines;
    byte[] bytes;
    int[] start = new int[64];
    int[] end = new int[64];
    int count;
    /** Line on which the current row begins, from 1. */
    long row;

    private final byte separator;
    private final boolean blanks;

    /** @param separator the separating character; a blank stands for runs of blanks and tabs */
    Delimited(TextLines lines, char separator) {
        this.lines = lines;
        this.separator = (byte) separator;
        this.blanks = separator == ' ';
    }

    /** Moves to the next row that is not blank. @return false after the last */
    boolean next() {
        do {
            if (!lines.next()) return false;
        } while (lines.blank());
        row = lines.number;
        bytes = lines.window.bytes;
        count = 0;
        if (blanks) {
            splitAtRuns();
        } else if (!split()) {
            splitQuoted();
        }
        return true;
    }

    /** @return false where the row holds a quote */
    private boolean split() {
        int from = lines.from;
        for (int i = lines.from; i < lines.to; i++) {
            byte c = bytes[i];
            if (c == '"') return false;
            if (c == separator) {
                field(from, i);
                from = i + 1;
            }
        }
        field(from, lines.to);
        return true;
    }

    private void splitAtRuns() {
        int i = lines.from;
        while (i < lines.to) {
            while (i < lines.to && (bytes[i] == ' ' || bytes[i] == '\t')) i++;
            int from = i;
            while (i < lines.to && bytes[i] != ' ' && bytes[i] != '\t') i++;
            if (i > from) field(from, i);
        }
    }

    private void field(int from, int to) {
        if (count == start.length) {
            start = Arrays.copyOf(start, count * 2);
            end = Arrays.copyOf(end, count * 2);
        }
        int first = from;
        int last = to;
        while (first < last && bytes[first] == ' ') first++;
        while (last > first && bytes[last - 1] == ' ') last--;
        start[count] = first;
        end[count++] = last;
    }

    /** A quoted field may hold the separator, doubled quotes and line breaks. */
    private void splitQuoted() {
        StringBuilder text = new StringBuilder(lines.text());
        while (odd(text) && text.length() < ByteWindow.LARGEST && lines.next()) text.append('\n').append(lines.text());
        CSVFormat format = CSVFormat.RFC4180.builder().setDelimiter((char) separator).get();
        StringBuilder joined = new StringBuilder();
        try (CSVParser parser = CSVParser.parse(text.toString(), format)) {
            List<CSVRecord> records = parser.getRecords();
            byte[][] fields = new byte[records.get(0).size()][];
            for (int i = 0; i < fields.length; i++) {
                fields[i] = records.get(0).get(i).getBytes(StandardCharsets.UTF_8);
                joined.append(records.get(0).get(i));
            }
            bytes = joined.toString().getBytes(StandardCharsets.UTF_8);
            count = 0;
            int at = 0;
            for (byte[] field : fields) {
                field(at, at + field.length);
                at += field.length;
            }
        } catch (IOException | java.io.UncheckedIOException | IllegalStateException e) {
            throw new InputFault(buswitness.problem.Place.text(lines.window.name(),
                    (int) Math.min(row, Integer.MAX_VALUE), -1), "the quotes of this row do not pair up",
                    "close each quoted field with a quote, RFC 4180");
        }
    }

    private static boolean odd(CharSequence text) {
        boolean odd = false;
        for (int i = 0; i < text.length(); i++) odd ^= text.charAt(i) == '"';
        return odd;
    }

    String text(int field) {
        return new String(bytes, start[field], end[field] - start[field], StandardCharsets.UTF_8);
    }

    /** @return -1 beyond the row's last field */
    int length(int field) {
        return field < count ? end[field] - start[field] : -1;
    }

    String[] texts() {
        String[] out = new String[count];
        for (int i = 0; i < count; i++) out[i] = text(i);
        return out;
    }

    /** Where a field of the current row sits; the column counts bytes within the row as stored, -1 where quoted. */
    buswitness.problem.Place place(int field) {
        int column = field >= 0 && field < count && bytes == lines.window.bytes ? start[field] - lines.from + 1 : -1;
        return buswitness.problem.Place.text(lines.window.name(), (int) Math.min(row, Integer.MAX_VALUE), column);
    }
}
