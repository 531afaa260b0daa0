package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.Progress;
import buswitness.schema.YamlDocument;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HexFormat;
import java.util.List;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Every example of captures/README.md is what it says. */
class DocumentedFormsTest {
    private static final List<String> EXAMPLES = examples();

    private static List<String> examples() {
        try {
            return Pattern.compile("```(?:yaml)?\\n(.*?)```\\n", Pattern.DOTALL)
                    .matcher(Files.readString(Path.of("captures/README.md"))).results().map(m -> m.group(1)).toList();
        } catch (IOException e) {
            throw new AssertionError(e);
        }
    }

    private static List<String> startingWith(String head, int count) {
        List<String> found = EXAMPLES.stream().filter(e -> e.startsWith(head)).toList();
        assertEquals(count, found.size(), "examples that begin with " + head);
        return found;
    }

    @Test
    void theLogs() {
        List<String> logs = startingWith("buswitness-log", 2);
        assertEquals(List.of("0: begin 0 1", "0: 1000000000 0", "0: 1008000000 1", "0: 1032000000 0",
                "0: gap 1500000000 2000000000 overrun", "0: begin 2000000000 1", "mark 2500000000 fan switched on",
                "end 3000000000"), Given.read(logs.get(0)).lines(1));
        assertEquals(List.of("0: begin 0 1", "0: 250000000 0", "0: 266000000 1",
                "0: gap 5000000000 7000000000 recorder paused", "0: begin 7000000000 1", "0: 7500000000 0",
                "0: 7508000000 1", "1: begin 0 0", "1: 1500000000 1", "1: gap 5000000000 7000000000 recorder paused",
                "1: begin 7000000000 1", "end 9000000000"), Given.read(logs.get(1)).lines(2));
    }

    @Test
    void theCompactRecordingToTheByte() throws IOException {
        String hex = startingWith("C2 57", 1).get(0).lines().map(l -> l.split("   +(?=\\S)(?![0-9A-F]{2}\\b)")[0])
                .reduce("", String::concat).replaceAll("\\s", "");
        byte[] bytes = HexFormat.of().parseHex(hex);
        Recording recording = Given.open(bytes);
        String log = startingWith("buswitness-log", 2).get(0).replaceAll("(?m)^(note:|2500 mark).*\\n", "");
        assertEquals(Given.read(log).lines(1), Given.read(recording).lines(1));
        assertEquals(0, recording.notices().seen());
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        Recording source = Given.open(log);
        try (RecordingWriter to = Recordings.writeCompact(out, source.info())) {
            source.read(to, Progress.SILENT);
        }
        assertArrayEquals(bytes, out.toByteArray());
    }

    @Test
    void theVcdAndTheCsv() {
        Recording vcd = Given.open(startingWith("$comment", 1).get(0));
        assertEquals(List.of("0: begin 0 1", "0: 1000000000 0", "0: 1008000000 1",
                "0: gap 1200000000 1300000000 the level is given as unknown", "0: begin 1300000000 1",
                "end 1400000000"), Given.read(vcd).lines(1));
        assertEquals(List.of("rx"), vcd.info().lines());
        assertEquals(0, vcd.chooseLine("top.rx"));
        Recording csv = Given.open(startingWith("time_s", 1).get(0));
        assertEquals(List.of("0: begin 0 1", "0: 1000000000 0", "0: 1008000000 1", "0: 3000000000 0", "1: begin 0 0",
                "1: gap 1032000000 2000000000 no level is given", "1: begin 2000000000 1", "end 3000000000"),
                Given.read(csv).lines(2));
        assertEquals(1e6, csv.info().tickPicos());
    }

    @Test
    void theColumns() {
        for (String yaml : startingWith("separator:", 2)) {
            TableColumns columns = TableColumns.of(YamlDocument.parse(yaml, "README").root());
            assertEquals(16, columns.base());
            if (columns.header()) assertEquals(500_000, columns.bitsPerSecond());
            else assertEquals(10, columns.lastData());
        }
        assertTrue(EXAMPLES.size() >= 7);
    }
}
