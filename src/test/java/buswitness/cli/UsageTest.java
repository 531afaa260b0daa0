package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
    @ValueSource(strings = {"check", "compare", "prove", "decode", "simulate", "convert", "record", "completion", "map", "predict", "calibrate"})
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
        for (String command : new String[] {"check", "compare", "prove", "decode", "simulate", "convert", "record", "map", "predict",
            "calibrate", "completion"}) {
            CommandRun help = CommandRun.with(Map.of("COLUMNS", columns), command, "--help");
            for (String line : help.out().split("\n")) {
                // An example is one line whatever the width, so that it can be copied.
                if (!line.contains("./buswitness")) assertTrue(line.length() <= most, line);
            }
            String wide = CommandRun.with(Map.of("COLUMNS", "200"), command, "--help").out();
            wide.lines().filter(l -> l.startsWith("  ./buswitness")).forEach(l -> assertTrue(help.out().contains(l + "\n"), l));
        }
    }

    /** Every command that reads recordings says in the same words how they are to be read. */
    @Test
    void readingIsAskedForInTheSameWords() {
        String prove = CommandRun.with(Map.of("COLUMNS", "100"), "prove", "--help").out();
        for (String option : new String[] {"--line", "--rate", "--coding", "--time-unit", "--columns"}) {
            String said = said(prove, option);
            for (String command : new String[] {"decode", "map", "check", "compare"}) {
                assertEquals(said, said(CommandRun.with(Map.of("COLUMNS", "100"), command, "--help").out(), option), command);
            }
        }
    }

    /** What a help says of an option, its line breaks taken out. */
    private static String said(String help, String option) {
        String from = help.substring(help.indexOf("\n      " + option + "=") + 1);
        return from.split("\\n(?= {2,6}-|\\n)")[0].replaceAll("\\s+", " ").strip();
    }

    @Test
    void completionKnowsOptionsAndWhatTheyTake() {
        String script = CommandRun.of("completion").out();
        for (String word : new String[] {"--driven-alike", "--without", "--layout-out", "iso14230", "j1850-vpw"}) {
            assertTrue(script.contains(word), word);
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

    /** A file in the wrong place is called what it is, and where it belongs. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {
        "predict PLAN | is a plan, and a layout is needed here; a plan goes to 'check'",
        "predict SCENARIO | is a scenario, and a layout is needed here",
        "predict RECORDING | is a packed file, such as a recording",
        "predict EVIDENCE | is JSON, such as evidence",
        "predict DONE | is a list of what was done, and a layout is needed here",
        "check LAYOUT | is a layout, and a plan is needed here; a layout goes to 'predict' or 'check --new'",
        "check RECORDING | is a packed file, such as a recording",
        "check --new PLAN | is a plan, and a layout is needed here",
        "simulate LAYOUT --out none.bwl | is a layout, and a scenario is needed here",
        "prove LAYOUT | is a layout, and a recording is needed here",
        "prove PLAN | is a plan, and a recording is needed here",
        "prove SCENARIO | is a scenario, and a recording is needed here",
        "prove COLUMNS | is a description of a table's columns, and a recording is needed here",
        "prove EVIDENCE | is JSON, and a recording is needed here",
        "prove RECORDING --layout PLAN | is a plan, and a layout is needed here",
        "decode LAYOUT | is a layout, and a recording is needed here",
        "convert PLAN none.vcd | is a plan, and a recording is needed here",
        "map LAYOUT | is a layout, and a recording is needed here",
        "map RECORDING --done LAYOUT | is a layout, and a list of what was done is needed here",
        "compare PLAN PLAN | is a plan, and a layout is needed here",
        "compare SCENARIO LAYOUT | is a scenario, and a layout is needed here"})
    void aFileInTheWrongPlaceIsCalledWhatItIs(String words, String says) {
        String line = words.strip().replace("PLAN", "captures/workshop/tern.plan.yaml")
                .replace("LAYOUT", "captures/workshop/installed.layout.yaml")
                .replace("SCENARIO", "captures/workshop/idle.scenario.yaml")
                .replace("RECORDING", "captures/workshop/idle.bwr.gz")
                .replace("EVIDENCE", "captures/workshop/tt-0040.evidence.jsonl")
                .replace("DONE", "captures/learning/learning.done.yaml").replace("COLUMNS", "captures/one-car.columns.yaml");
        CommandRun run = CommandRun.of(line.split(" "));
        assertTrue(run.failedInOneLine(), run.toString());
        assertTrue(run.err().contains(says.strip()), run.err());
    }

    @ParameterizedTest
    @ValueSource(strings = {"check", "check captures/workshop/tern.plan.yaml --step none --observed yes --by A",
        "predict captures/tern.layout.yaml --drives 0", "compare captures/tern.layout.yaml captures/healthy.bwl.gz"})
    void theProgramNamesItselfOnce(String words) {
        CommandRun run = CommandRun.of(words.split(" "));
        assertTrue(run.failedInOneLine(), run.toString());
        assertTrue(run.err().startsWith("buswitness " + words.split(" ")[0] + ": "), run.err());
        assertFalse(run.err().contains(": buswitness "), run.err());
    }
}
