package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What the command line says of itself, and how it refuses what it does not understand. */
class UsageTest {
    @Test
    void versionIsThatOfTheProject() {
        assertEquals(new CommandRun(0, "buswitness 0.1.0\n", ""), CommandRun.of("--version"));
    }

    @Test
    void withoutACommandItSaysWhatThereIs() {
        CommandRun bare = CommandRun.of();
        assertEquals(CommandRun.of("--help"), bare);
        assertEquals(0, bare.status());
        for (String command : new String[] {"check", "compare", "prove", "decode", "simulate", "convert", "record"}) {
            assertTrue(bare.out().contains("\n  " + command + " "), command);
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"check", "compare", "prove", "decode", "simulate", "convert", "record", "completion"})
    void everyCommandExplainsItselfWithAnExample(String command) {
        CommandRun help = CommandRun.of(command, "--help");
        assertEquals(0, help.status());
        assertEquals("", help.err());
        assertTrue(help.out().contains("Usage: buswitness " + command), help.out());
        assertTrue(help.out().contains("./buswitness " + command) || help.out().contains("(./buswitness " + command));
    }

    @ParameterizedTest
    @ValueSource(strings = {"30", "55", "80", "200"})
    void helpFitsTheScreen(String columns) {
        int most = Math.max(55, Math.min(100, Integer.parseInt(columns)));
        for (String command : new String[] {"check", "compare", "prove", "decode", "simulate", "convert", "record"}) {
            CommandRun help = CommandRun.with(Map.of("COLUMNS", columns), command, "--help");
            for (String line : help.out().split("\n")) {
                // An example is one line whatever the width, so that it can be copied.
                if (!line.contains("./buswitness")) assertTrue(line.length() <= most, line);
            }
        }
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '"', value = {
        "--versoin | buswitness: Unknown option: '--versoin'; did you mean --version? see 'buswitness --help'",
        "prvoe | buswitness: there is no command 'prvoe'; did you mean prove? see 'buswitness --help'",
        "prove | buswitness prove: Missing required parameter: 'RECORDING'; see 'buswitness prove --help'",
        "prove a --jsn b | buswitness prove: Unknown options: '--jsn', 'b'; did you mean --json? see 'buswitness prove --help'",
        "prove a --rate fast | buswitness prove: Invalid value for option '--rate': 'fast' is no bit rate such as '125 kbit/s'; see 'buswitness prove --help'",
        "prove a --rate 5 | buswitness prove: Invalid value for option '--rate': '5' is outside 1 kbit/s to 10 Mbit/s; see 'buswitness prove --help'",
        "prove a --json b --json c | buswitness prove: option '--json' (FILE) should be specified only once; see 'buswitness prove --help'",
        "prove a --json - --frames - | buswitness: --frames: standard output can take one file only; name a file",
        "prove nowhere.vcd | buswitness: nowhere.vcd: there is no such file; check its name and folder",
        "simulate a.yaml | buswitness simulate: Missing required option: '--out=FILE'; see 'buswitness simulate --help'",
        "simulate a.yaml --out a.x --form tape | buswitness simulate: Invalid value for option '--form': 'tape' is none of log, compact, vcd, csv; see 'buswitness simulate --help'",
    })
    void refusesInOneLine(String line, String says) {
        CommandRun refused = CommandRun.of(line.strip().split(" "));
        assertEquals(new CommandRun(2, "", says + "\n"), refused);
    }

    @Test
    void hostileWordsStayOnOneLine() {
        CommandRun refused = CommandRun.of("prove", "a\nb\u202Ec\u001B[31m");
        assertTrue(refused.failedInOneLine(), refused.err());
        assertTrue(refused.err().chars().allMatch(c -> c == '\n' || c >= ' '), refused.err());
    }
}
