package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.FrameTableInfo.Stamped;
import buswitness.problem.InputFault;
import buswitness.problem.Progress;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Frame tables and their columns YAML, as captures/README.md describes them. */
class FrameTableTest {
    private static final String YAML = """
            separator: ","
            header: true
            time: {column: timestamp, unit: s}
            id:   {column: CAN_ID, base: 16}
            data: {column: PAYLOAD_HEX}
            stamped: end
            rate: 500 kbit/s
            """;

    @TempDir
    Path folder;

    private Recording open(byte[] table, String yaml) {
        try {
            Path columns = Files.writeString(folder.resolve("columns.yaml"), yaml);
            return Recordings.open(Given.source(table), new ReadOptions(null, columns));
        } catch (IOException e) {
            throw new AssertionError(e);
        }
    }

    private final List<String> rows = new ArrayList<>();

    private FrameTableInfo read(Recording recording) {
        rows.clear();
        return recording.readRows(r -> rows.add(String.format(Locale.ROOT, "%d %d %X%s %s", r.line(), r.stampPicos(),
                r.identifier(), r.extended() ? "x" : "", HexFormat.of().formatHex(r.data()))), Progress.SILENT);
    }

    private FrameTableInfo read(String table, String yaml) {
        return read(open(Given.utf8(table), yaml));
    }

    @Test
    void readsNamedColumns() {
        FrameTableInfo info = read("timestamp,CAN_ID,DLC,PAYLOAD_HEX\n0.0,10,64,000000002FB031F8\n9e-06,1D0,16,0061\n"
                + "0.00044,18DAF110,0,\n1.5,0x00000123,8,\"7F\"\n", YAML);
        assertEquals(List.of("2 0 10 000000002fb031f8", "3 9000000 1D0 0061", "4 440000000 18DAF110x ",
                "5 1500000000000 123x 7f"), rows);
        assertEquals(Stamped.END, info.stamped());
        assertEquals(500_000, info.bitsPerSecond());
        assertEquals(4, info.rows());
        assertEquals(0, info.skipped());
        assertEquals(1e6, info.recording().tickPicos());
        assertEquals(1_500_000_000_000L, info.lastPicos());
        assertEquals(64, info.recording().sha256().length());
    }

    @Test
    void readsNumberedColumnsOneByteEach() {
        String yaml = "separator: \" \"\nheader: false\ntime: {column: 1, unit: ms}\nid: {column: 2, base: 10}\n"
                + "data: {columns: 4.., until: 6}\n";
        FrameTableInfo info = read("1.5   464 3  1  AB 0xC trailing words\n  2.5\t17 1 FF\n", yaml);
        assertEquals(List.of("1 1500000000 1D0 01ab0c", "2 2500000000 11 ff"), rows);
        assertEquals(Stamped.UNKNOWN, info.stamped());
        assertTrue(Double.isNaN(info.bitsPerSecond()));
        read("1 464 3 01 AB 0C 0D\n", yaml.replace("4.., until: 6", "4.."));
        assertEquals(List.of("1 1000000000 1D0 01ab0c0d"), rows);
        read("1;464;3;01;AB;;\n2,5;17;1;FF;;;\n", yaml.replace("4.., until: 6", "4..7").replace("\" \"", "\";\""));
        assertEquals(List.of("1 1000000000 1D0 01ab", "2 2500000000 11 ff"), rows);
        read("1\t464\t3\t01\n", yaml.replace("\" \"", "\"\\t\""));
        assertEquals(List.of("1 1000000000 1D0 01"), rows);
    }

    @Test
    void timesThatCountFromSomeYearStartAtTheFirstRow() {
        Recording recording = open(Given.utf8("timestamp,CAN_ID,PAYLOAD_HEX\n1609459200.000001,1,\n"
                + "1609459200.000003,2,\n"), YAML);
        read(recording);
        assertEquals(List.of("2 0 1 ", "3 2000000 2 "), rows);
        assertEquals(1, recording.notices().seen());
    }

    @Test
    void malformedRowsAreReportedAndSkippedUpToOneInAHundred() {
        StringBuilder table = new StringBuilder("timestamp,CAN_ID,PAYLOAD_HEX\n");
        for (int i = 0; i < 99; i++) table.append(i).append(",1D0,00FF\n");
        Recording fair = open(Given.utf8(table + "99,1D0,0F0\n"), YAML);
        FrameTableInfo info = read(fair);
        assertEquals(99, info.rows());
        assertEquals(1, info.skipped());
        assertEquals(101, fair.notices().kept().get(0).place().line());
        for (String bad : List.of("99,1D0,0F0", "x,1D0,00", "99,1G0,00", "99,20000000,00", "99,1D0", "5,1D0,00")) {
            InputFault fault = assertThrows(InputFault.class, () -> read(table + bad + "\n" + bad + "\n", YAML));
            assertEquals(101, fault.place().line(), fault.getMessage());
            assertTrue(fault.what().startsWith("2 of 101 rows are malformed"), fault.getMessage());
        }
    }

    @Test
    void aTableCutShortLosesItsLastRowOnly() {
        Recording cut = open(Given.utf8("timestamp,CAN_ID,PAYLOAD_HEX\n1,1D0,00FF\n2,1D"), YAML);
        assertEquals(1, read(cut).rows());
        assertEquals(1, cut.notices().seen());
    }

    @Test
    void faultsInTheColumnsNameTheirPlace() {
        assertYaml(YAML.replace("PAYLOAD_HEX", "PAYLOAD"), 5, 16, "unknown column 'PAYLOAD'");
        assertYaml(YAML.replace("unit: s", "unit: hour"), 3, 33, "unknown unit 'hour'");
        assertYaml(YAML.replace(", unit: s", ""), 3, 7, "'unit' is missing");
        assertYaml(YAML.replace("header: true", "header: false"), 3, 16, "no header");
        assertYaml(YAML.replace("stamped: end", "stamped: middle"), 6, 10, "middle");
        assertYaml(YAML.replace("separator: \",\"", "separator: \"ab\""), 1, 12, "cannot separate");
        assertYaml(YAML.replace("{column: PAYLOAD_HEX}", "{columns: x..}"), 5, 17, "no range of columns");
        assertYaml(YAML.replace("{column: PAYLOAD_HEX}", "{columns: 5..4}"), 5, 17, "backwards");
        assertYaml(YAML.replace("{column: PAYLOAD_HEX}", "{columns: 4.., column: 4}"), 5, 7, "either");
        assertYaml(YAML.replace("rate: 500 kbit/s", "rte: 5"), 7, 1, "unknown word 'rte'");
        assertYaml(YAML.replace("id:   {column: CAN_ID, base: 16}", "id: {column: 9}"), -2, -1, "asks for column 9");
    }

    private void assertYaml(String yaml, int line, int column, String what) {
        InputFault fault = assertThrows(InputFault.class,
                () -> read("timestamp,CAN_ID,DLC,PAYLOAD_HEX\n0.0,10,64,00\n", yaml));
        assertTrue(fault.what().contains(what), fault.getMessage());
        if (line == -2) return;
        assertEquals(line, fault.place().line(), fault.getMessage());
        assertEquals(column, fault.place().column(), fault.getMessage());
    }

    @Test
    void otherRecordingsAreNoTables() {
        assertThrows(InputFault.class, () -> open(Given.utf8("buswitness-log 1\ntick: 1 us\nchanges:\n0 1\n"), YAML));
        Recording table = open(Given.utf8("timestamp,CAN_ID,PAYLOAD_HEX\n1,1D0,00FF\n"), YAML);
        assertTrue(table.isFrameTable());
        assertThrows(InputFault.class, () -> table.read(new Heard(true), Progress.SILENT));
        assertThrows(InputFault.class, () -> table.chooseLine(null));
        Recording log = Given.open("buswitness-log 1\ntick: 1 us\nchanges:\n0 1\n5 0\n");
        assertThrows(InputFault.class, () -> log.readRows(r -> {}, Progress.SILENT));
    }

    @Test
    void readsAZipWithOneFileInItAndNoMore() throws IOException {
        byte[] table = Given.utf8("timestamp,CAN_ID,PAYLOAD_HEX\n1,1D0,00FF\n");
        read(open(zip(table, "one.txt"), YAML));
        assertEquals(List.of("2 1000000000000 1D0 00ff"), rows);
        InputFault fault = assertThrows(InputFault.class, () -> read(open(zip(table, "one.txt", "two.txt"), YAML)));
        assertTrue(fault.what().contains("more than one file"), fault.getMessage());
    }

    private static byte[] zip(byte[] content, String... names) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(out)) {
            zip.putNextEntry(new ZipEntry("folder/"));
            for (String name : names) {
                zip.putNextEntry(new ZipEntry(name));
                zip.write(content);
            }
        }
        return out.toByteArray();
    }

    /** Stabili, Ferretti, Andreolini, Marchetti, IEEE TVT 2022, doi 10.1109/TVT.2022.3190721: 245,144 native frames. */
    @Test
    void readsARealTableWhole() throws IOException {
        String where = System.getProperty("buswitness.v40",
                System.getenv().getOrDefault("BUSWITNESS_V40", "../shared/data/v40"));
        Path table = Path.of(where).resolve("clean.zip");
        Assumptions.assumeTrue(Files.exists(table), "left out: the open data set is not at " + where
                + " (set BUSWITNESS_V40)");
        Path columns = Files.writeString(folder.resolve("columns.yaml"), YAML);
        long[] seen = {0, 0, -1, 0};
        FrameTableInfo info = Recordings.open(table, new ReadOptions(null, columns)).readRows(r -> {
            seen[0]++;
            if (r.data().length == 8) seen[1]++;
            if (seen[0] == 2) seen[2] = r.stampPicos();
            seen[3] |= 1L << (r.identifier() & 63);
        }, Progress.SILENT);
        assertEquals(245_144, info.rows());
        assertEquals(0, info.skipped());
        assertEquals(245_144, seen[0]);
        assertEquals(9_000_000, seen[2], "the second row is stamped 9e-06 s");
        assertEquals(1e6, info.recording().tickPicos());
        assertEquals(153.2, info.lastPicos() / 1e12, 0.05);
    }
}
