package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class ScenarioReaderTest {
    private static final Path CAPTURES = Path.of("captures");

    static List<String> examples() throws IOException {
        Matcher fence = Pattern.compile("```yaml\n(.*?)```", Pattern.DOTALL)
                .matcher(Files.readString(CAPTURES.resolve("scenario-format.md")));
        List<String> found = new ArrayList<>();
        while (fence.find()) found.add(fence.group(1));
        return found;
    }

    @ParameterizedTest
    @MethodSource("examples")
    void everyExampleOfThePageRuns(String text) {
        Scenario scenario = ScenarioReader.parse(text, "example", CAPTURES);
        WireProbe probe = WireProbe.of(scenario.withDuration(Math.min(3, scenario.durationSeconds())));
        assertTrue(probe.frames.size() > 20, "only " + probe.frames.size() + " frames");
    }

    @Test
    void thePageHasExamples() throws IOException {
        assertEquals(11, examples().size());
    }

    private static final String GOOD = """
            layout: tern.layout.yaml
            duration: 40 s
            values:
              coolant temperature: 88
            nodes:
              engine unit:
                clock: 38 ppm
                sends:
                  engine state: {}
              dashboard: {}
            """;

    /** A few words turned wrong; each names its line and column, and what would have been right. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "duration: 40 s            | duraton: 40 s              | 2 | 1  | duration",
        "duration: 40 s            | duration: 40               | 2 | 11 | no unit",
        "clock: 38 ppm             | clock: 38 pm               | 7 | 12 | ppm",
        "dashboard: {}             | dashboard: 5               | 10 | 14 | map",
        "coolant temperature: 88   | coolant temperatur: 88     | 4 | 3  | coolant temperature",
        "coolant temperature: 88   | coolant temperature: {rmp: 1} | 4 | 25 | ramp",
        "coolant temperature: 88   | coolant temperature: {steps: [[5 s, 1], [4 s, 2]]} | 4 | 43 | order",
        "engine state: {}          | engin state: {}            | 9 | 7  | 'id'",
        "engine state: {}          | engine state: {every: 0 s} | 9 | 29 | out of range",
        "engine state: {}          | door state: {length: 1}    | 9 | 19 | outside",
        "layout: tern.layout.yaml  | layout: turn.layout.yaml   | -1 | -1  | no such file",
        "layout: tern.layout.yaml  | note: none                 | 1 | 1  | bit rate",
        "engine state: {}          | engine state: {frame: fd}  | 9 | 22 | belongs to CAN FD",
    })
    void mistakesAreNamedWithTheirPlace(String right, String wrong, int line, int column, String says) {
        assertTrue(GOOD.contains(right), right);
        InputFault fault = assertThrows(InputFault.class,
                () -> ScenarioReader.parse(GOOD.replace(right, wrong), "x.yaml", CAPTURES));
        assertTrue(fault.getMessage().contains(says), fault.getMessage());
        assertEquals(line, fault.place().line(), fault.getMessage());
        assertEquals(column, fault.place().column(), fault.getMessage());
    }

    private static final String FLEXIBLE = """
            bus: {coding: can-fd, data rate: 2 Mbit/s}
            rate: 500 kbit/s
            duration: 1 s
            nodes:
              engine unit:
                sends:
                  engine state: {id: 0x1D0, length: 12, every: 20 ms}
            """;

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "length: 12        | length: 13                 | 7 | 21  | 12, 16",
        "length: 12        | length: 65                 | 7 | 41 | 64",
        "data rate: 2 Mbit/s | data rate: 100 kbit/s    | 1 | 34 | out of range",
        "data rate: 2 Mbit/s | sample point: 99 %       | 1 | 37 | out of range",
        "coding: can-fd, data rate: 2 Mbit/s | coding: can, data rate: 2 Mbit/s | 1 | 20 | belongs to CAN FD",
        "length: 12        | length: 8, request: true, frame: fd | 7 | 21 | no remote frames",
    })
    void mistakesAboutCanFd(String right, String wrong, int line, int column, String says) {
        assertTrue(FLEXIBLE.contains(right), right);
        InputFault fault = assertThrows(InputFault.class,
                () -> ScenarioReader.parse(FLEXIBLE.replace(right, wrong), "x.yaml", CAPTURES));
        assertTrue(fault.getMessage().contains(says), fault.getMessage());
        assertEquals(line, fault.place().line(), fault.getMessage());
        assertEquals(column, fault.place().column(), fault.getMessage());
    }

    @Test
    void innerValuesGoBeforeOuterOnes() {
        Scenario scenario = ScenarioReader.parse("""
                layout: tern.layout.yaml
                duration: 1 s
                values: {coolant temperature: 10, charge fault: 1}
                nodes:
                  engine unit:
                    values: {coolant temperature: 20}
                    sends: {engine state: {values: {coolant temperature: 30}}, supply state: {}}
                  gauge translator: {}
                """, "x.yaml", CAPTURES);
        WireProbe probe = WireProbe.of(scenario);
        assertEquals(30 + 40, first(probe, "engine unit", 0x1D0)[0]);
        assertEquals(10 + 40, first(probe, "gauge translator", 0x1D0)[0]);
        assertEquals((byte) 0x80, first(probe, "engine unit", 0x1D8)[0]);
    }

    private static byte[] first(WireProbe probe, String node, long identifier) {
        return probe.frames.stream().flatMap(f -> f.senders().stream())
                .filter(s -> s.node().equals(node) && buswitness.frames.MessageKey.identifier(s.key()) == identifier)
                .findFirst().orElseThrow().data();
    }
}
