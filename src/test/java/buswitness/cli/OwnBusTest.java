package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A bus that nobody has heard of, described as captures/bus-format.md does: every command works on it. */
class OwnBusTest {
    @TempDir
    Path folder;

    @BeforeEach
    void layoutOfThePage() throws IOException {
        Matcher block = Pattern.compile("(?ms)^```yaml\n(.*?)^```$").matcher(Files.readString(Path.of("captures/bus-format.md")));
        String text = "";
        while (block.find()) text = block.group(1);
        assertTrue(text.contains("yard-wire"), text);
        Files.writeString(folder.resolve("yard.layout.yaml"), text.replace("{id: 0x2A4,", "{id: 0x2A4, every: 300 ms,"));
    }

    private String recording(String name, String more) throws IOException {
        Files.writeString(folder.resolve(name + ".scenario.yaml"), """
                layout: yard.layout.yaml
                duration: 30 s
                values: {boom pressure: {points: [[0 s, 180], [30 s, 190]]}}
                recorder: {idle level: 0}
                nodes:
                  boom unit: {clock: 900 ppm, number: 5, sends: {boom state: {to: 9, every: 300 ms, fields: {stamp: 3}}}}
                  axle unit: {clock: -2000 ppm, number: 7, sends: {axle state: {id: 0x311, length: 2, every: 140 ms}}}
                  cab: {number: 9, replies: [{to: 0x311, bytes: 0x33}]}
                """ + more);
        String out = folder.resolve(name + ".bwl.gz").toString();
        CommandRun made = CommandRun.of("simulate", folder.resolve(name + ".scenario.yaml").toString(), "--out", out);
        assertEquals(0, made.status(), made.err());
        return out;
    }

    @Test
    void everyCommandWorksOnIt() throws IOException {
        String layout = folder.resolve("yard.layout.yaml").toString();
        String one = recording("one", "");
        String two = recording("two",
                "  spare: {clock: -500 ppm, number: 5, sends: {boom state: {to: 9, every: 300 ms, values: {boom pressure: 20}}}}\n");
        CommandRun decoded = CommandRun.of("decode", one, "--layout", layout);
        assertTrue(decoded.out().contains("0 damaged") && decoded.out().contains("Yard wire at 5"), decoded.out());
        assertTrue(decoded.out().contains("reply 33 CC"), "reply and its inverted exclusive or");
        assertEquals(0, CommandRun.of("prove", one, "--layout", layout).status());
        CommandRun clash = CommandRun.of("prove", two, "--layout", layout);
        assertEquals(1, clash.status(), clash.out());
        assertTrue(clash.out().contains("boom state (0x2A4)"), clash.out());
        String mapped = folder.resolve("mapped.layout.yaml").toString();
        CommandRun map = CommandRun.of("map", one, "--layout", layout, "--layout-out", mapped);
        assertEquals(0, map.status(), map.err());
        assertTrue(map.out().contains("Yard wire at 5"), map.out());
        assertEquals(0, CommandRun.of("prove", one, "--layout", mapped).status(), "the map's layout carries the description");
    }
}
