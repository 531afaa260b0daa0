package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The bit-timed log, as captures/README.md describes it; the form is our own, so that page is the source. */
class LogFormTest {
    private static final String HEAD = "buswitness-log 1\ntick: 1 us\n";

    @Test
    void readsOneLineByHand() {
        Recording recording = Given.open("""
                buswitness-log 1
                # by hand
                tick: 0.5 us
                line: bus, idle 1
                note: engine off
                changes:
                1000 0
                1008.5 1

                # a comment
                +8 0
                1020 0
                1030 1
                2000 end
                """);
        assertEquals(List.of("0: begin 0 1", "0: 1000000000 0", "0: 1008500000 1", "0: 1016500000 0",
                "0: 1030000000 1", "end 2000000000"), Given.read(recording).lines(1));
        assertEquals(List.of("bus"), recording.info().lines());
        assertEquals(List.of("engine off"), recording.info().notes());
        assertEquals(500_000.0, recording.info().tickPicos());
        assertEquals(0, recording.notices().seen());
    }

    @Test
    void readsSeveralLinesGapsAndMarks() {
        Heard heard = Given.read(HEAD + """
                unit: ms
                line: bus
                line: switch
                changes:
                0 1 1
                0 2 0
                1 1 0
                2 mark fan on
                3 2 1
                4 1 gap since 2.5 overrun in the recorder
                4 1 1
                5 1 0
                9 all gap since 6
                9 1 1
                10 end
                """);
        assertEquals(List.of("0: begin 0 1", "0: 1000000000 0", "0: gap 2500000000 4000000000 overrun in the recorder",
                "0: begin 4000000000 1", "0: 5000000000 0", "0: gap 6000000000 9000000000 not recorded",
                "0: begin 9000000000 1", "1: begin 0 0", "1: 3000000000 1",
                "1: gap 6000000000 9000000000 not recorded", "mark 2000000000 fan on", "end 10000000000"),
                heard.lines(2));
    }

    @Test
    void ticksAreTimesFractionsOrFrequencies() {
        assertEquals(1e6, tick("1 us"));
        assertEquals(125000 / 9.0, tick("125000/9 ps"));
        assertEquals(1e12 / 72e6, tick("72 MHz"), 1e-9);
        for (String absurd : List.of("0 us", "2 s", "-1 us", "fast", "1", "0/0 s", "")) {
            InputFault fault = Given.fault("buswitness-log 1\ntick: " + absurd + "\nchanges:\n0 1\n1 0\n");
            assertEquals(2, fault.place().line(), absurd);
        }
    }

    private static double tick(String text) {
        return Given.open("buswitness-log 1\ntick: " + text + "\nchanges:\n0 1\n").info().tickPicos();
    }

    @Test
    void faultsNameLineAndColumn() {
        assertFault("buswitness-log 2\n", 1, -1, "version");
        assertFault("buswitness-log 1\ntick: 1 us\n", 2, -1, "header never ends");
        assertFault("buswitness-log 1\nchanges:\n0 1\n", 2, -1, "tick");
        assertFault(HEAD + "rate: 5\nchanges:\n", 3, -1, "no word");
        assertFault(HEAD + "line: a\nline: a\nchanges:\n", 4, -1, "two lines");
        assertFault(HEAD + "changes:\n0 1\n5 0\n4 1\n", 6, 1, "backwards");
        assertFault(HEAD + "changes:\n0 1\nx 0\n4 1\n", 5, 1, "not a time");
        assertFault(HEAD + "changes:\n0 1\n1 2\n4 1\n", 5, 3, "not what an entry can say");
        assertFault(HEAD + "changes:\n0 1\n9999999999999999 0\n", 5, 1, "106 days");
        assertFault(HEAD + "changes:\n0 1\n1 0\n2 end\n3 1\n", 7, 1, "follows the end");
        assertFault(HEAD + "line: a\nline: b\nchanges:\n0 1 1\n1 3 0\n", 7, 3, "number of a line");
        assertFault(HEAD + "changes:\n0 1\n10 0\n20 gap since 5\n", 6, 4, "gap must begin");
        assertFault(HEAD + "changes:\n0 1\n10 end\n", -1, -1, "no line ever changes");
    }

    private static void assertFault(String text, int line, int column, String what) {
        InputFault fault = Given.fault(text);
        assertEquals(line, fault.place().line(), fault.getMessage());
        assertEquals(column, fault.place().column(), fault.getMessage());
        assertTrue(fault.what().contains(what), fault.getMessage());
    }

    @Test
    void aLogCutShortIsReadUpToTheCut() {
        Recording cut = Given.open(HEAD + "changes:\n0 1\n10 0\n20 1\n3");
        assertEquals(List.of("0: begin 0 1", "0: 10000000 0", "0: 20000000 1", "end 20000000"),
                Given.read(cut).lines(1));
        assertEquals(2, cut.notices().seen());
        Given.read(cut);
        assertEquals(2, cut.notices().seen(), "a second reading says nothing twice");
    }
}
