package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.List;

/** CSV of evenly spaced times and voltages, one to four channels, as oscilloscopes write it, a preamble before it or not. */
final class VoltageCsv implements Sampled {
    private static final int MOST_PREAMBLE = 200;
    private static final int SAMPLE_ROWS = 2000;
    private static final int FEWEST_ROWS = 50;
    private static final int MOST_CHANNELS = 4;
    private static final double WORTH = 1e-12;

    private final char separator;
    private final int preamble;
    private final TimeUnit unit;
    private final List<String> names;
    private final String volts;
    private final double firstPicos;
    private final double periodPicos;
    private final double stepPicos;

    private VoltageCsv(char separator, int preamble, TimeUnit unit, List<String> names, String volts, double[] grid) {
        this.separator = separator;
        this.preamble = preamble;
        this.unit = unit;
        this.names = names;
        this.volts = volts;
        this.firstPicos = grid[0];
        this.periodPicos = grid[1];
        this.stepPicos = grid[2];
    }

    /** @return null where the text is none of evenly spaced voltages */
    static VoltageCsv open(ByteWindow in, String optionUnit) {
        in.need(1 << 17);
        byte[] head = java.util.Arrays.copyOfRange(in.bytes, in.pos, Math.min(in.limit, in.pos + (1 << 17)));
        String sample = new String(head, java.nio.charset.StandardCharsets.UTF_8);
        char separator = separator(sample);
        Delimited rows = new Delimited(new TextLines(in), separator);
        DecimalTime number = new DecimalTime(TimeUnit.S.picos);
        List<String[]> above = new ArrayList<>();
        boolean more = rows.next();
        while (more && !numeric(rows, separator, number)) {
            if (above.size() == MOST_PREAMBLE) return null;
            above.add(rows.texts());
            more = rows.next();
        }
        int columns = rows.count;
        int preamble = above.size();
        if (!more || columns < 2 || columns > MOST_CHANNELS + 1) return null;
        double[] times = new double[SAMPLE_ROWS];
        int n = 0;
        int decimals = 0;
        for (; more && n < SAMPLE_ROWS; more = rows.next()) {
            if (rows.count != columns || !numeric(rows, separator, number)) {
                // Rows enough to know what they are: the reader names the bad one. In the last line it is only cut short.
                if (rows.lines.whole && n < FEWEST_ROWS && !inVolts(above)) return null;
                if (rows.lines.whole && n < FEWEST_ROWS) throw badRow(rows, columns);
                break;
            }
            number.read(rows.bytes, rows.start[0], rows.end[0]);
            times[n++] = number.whole + number.picos * WORTH;
            decimals = Math.max(decimals, number.tellingDecimals());
        }
        double[] grid = grid(times, n, decimals);
        if (grid == null) return null;
        TimeUnit unit = unit(optionUnit, above, in.name());
        for (int i = 0; i < grid.length; i++) grid[i] *= unit.picos;
        return new VoltageCsv(separator, preamble, unit, names(above, columns), volts(above), grid);
    }

    private static char separator(String sample) {
        int semicolons = (int) sample.chars().filter(c -> c == ';').count();
        int tabs = (int) sample.chars().filter(c -> c == '\t').count();
        int lines = (int) sample.lines().count();
        if (tabs * 2 > lines) return '\t';
        return semicolons * 2 > lines ? ';' : ',';
    }

    private static boolean numeric(Delimited rows, char separator, DecimalTime number) {
        if (rows.count < 2) return false;
        for (int c = 0; c < rows.count; c++) {
            CsvHead.decimalPoint(rows, c, separator);
            if (!number.read(rows.bytes, rows.start[c], rows.end[c])) return false;
        }
        return true;
    }

    /** First time, period and step of the last decimal place; null where the times are not evenly spaced. */
    private static double[] grid(double[] times, int n, int decimals) {
        if (n < FEWEST_ROWS) return null;
        double step = Math.pow(10, -decimals);
        double period = (times[n - 1] - times[0]) / (n - 1);
        if (!(period > 0)) return null;
        for (int i = 0; i < n; i++) {
            if (Math.abs(times[i] - times[0] - i * period) > 0.6 * period + step) return null;
        }
        return new double[] {times[0], period, step};
    }

    private static TimeUnit unit(String option, List<String[]> above, String source) {
        if (option != null && TimeUnit.of(option) != null) return TimeUnit.of(option);
        for (int i = above.size() - 1; i >= 0 && option == null; i--) {
            TimeUnit unit = above.get(i).length < 2 ? null : CsvHead.unitIn(above.get(i)[0]);
            if (unit != null) return unit;
        }
        throw new InputFault(Place.file(source), "the unit of the times is not known",
                "say it with --time-unit " + TimeUnit.CHOICE);
    }

    private static InputFault badRow(Delimited rows, int columns) {
        return new InputFault(rows.place(-1), rows.count != columns ? "this row has " + rows.count + " fields, not " + columns
                : "a time or a voltage of this row is not a number", "save one trace of evenly spaced samples");
    }

    /** Whether the head says that the columns are voltages. */
    private static boolean inVolts(List<String[]> above) {
        for (String[] row : above) {
            if (row.length > 1 && row[1].strip().matches("(?i)(.*[\\[( _/])?(m|milli)?v(olts?)?[\\])]?")) return true;
        }
        return false;
    }

    /** Volts, unless the preamble says that they are thousandths. */
    private static String volts(List<String[]> above) {
        for (String[] row : above) {
            if (row.length > 1 && row[1].strip().matches("(?i)(.*[\\[( _/])?m(illi)?v(olts?)?[\\])]?")) return "mV";
        }
        return "V";
    }

    /** The last row that heads a column of times; a preamble's rows of a word and its value head nothing. Units are left out. */
    private static List<String> names(List<String[]> above, int columns) {
        List<String> names = new ArrayList<>();
        String[] row = null;
        for (String[] r : above) {
            boolean times = r.length == columns && (r[0].strip().matches("(?i)(time|t|x|x[- ]axis|source)\\b.*")
                    || CsvHead.unitIn(r[0]) != null);
            if (times && !r[1].strip().matches("(?i)[\\[(]?(m?v|m?volts?)[\\])]?")) row = r;
        }
        for (int c = 1; c < columns; c++) {
            String name = row == null ? "" : row[c].strip().replaceAll("(?i)\\s*[\\[(](m?v|m?volts?)[\\])]$", "");
            if (name.isEmpty()) name = "channel " + c;
            names.add(names.contains(name) ? name + " (column " + (c + 1) + ")" : name);
        }
        return names;
    }

    @Override
    public String form() {
        return "CSV of voltages";
    }

    @Override
    public List<String> channels() {
        return names;
    }

    @Override
    public double periodPicos() {
        return periodPicos;
    }

    @Override
    public String unit() {
        return volts;
    }

    @Override
    public SampleReader reader(ByteWindow in, NoticeLog notices) {
        return new Rows(in, notices);
    }

    /** One reading of the rows. Times are held against the even spacing, whose every sample counts as exact. */
    private final class Rows implements SampleReader {
        private final Delimited rows;
        private final NoticeLog notices;
        private final ByteWindow in;
        private final DecimalTime time = new DecimalTime(unit.picos);
        private final DecimalTime volts = new DecimalTime(TimeUnit.S.picos);
        private long taken;
        private double slip;

        Rows(ByteWindow in, NoticeLog notices) {
            this.in = in;
            this.notices = notices;
            this.rows = new Delimited(new TextLines(in), separator);
            for (int i = 0; i < preamble; i++) rows.next();
        }

        @Override
        public int read(float[][] into) {
            int n = 0;
            while (n < CHUNK && rows.next()) {
                String bad = row(into, n);
                if (bad != null && !rows.lines.whole) {
                    notices.add(new Notice(rows.place(-1), "The file is cut short in its last row, which was left out."));
                    break;
                }
                if (bad != null) {
                    throw new InputFault(rows.place(-1), bad, "save one trace of evenly spaced samples, " + names.size()
                            + " channel" + (names.size() == 1 ? "" : "s"));
                }
                n++;
                taken++;
            }
            if (n == 0 && in.broken() != null) {
                notices.add(new Notice(rows.place(-1), "The file " + in.broken() + "; what came before was read."));
            }
            return n;
        }

        private String row(float[][] into, int n) {
            if (rows.count != names.size() + 1) return "this row has " + rows.count + " fields, not " + (names.size() + 1);
            CsvHead.decimalPoint(rows, 0, separator);
            if (!time.read(rows.bytes, rows.start[0], rows.end[0])) return "its time is not a number";
            double off = time.whole * (double) unit.picos + time.picos - firstPicos - taken * periodPicos - slip;
            if (Math.abs(off) > 0.8 * periodPicos + stepPicos) return "the samples are not evenly spaced here";
            slip += off / 1000;                              // the spacing of the first rows is not known to all decimals
            for (int c = 1; c < rows.count; c++) {
                CsvHead.decimalPoint(rows, c, separator);
                if (!volts.read(rows.bytes, rows.start[c], rows.end[c])) return "a voltage is not a number";
                into[c - 1][n] = (float) (volts.whole + volts.picos * WORTH);
            }
            return null;
        }
    }
}
