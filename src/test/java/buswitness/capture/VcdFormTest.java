package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Value change dumps, IEEE 1364-2005 clause 18 (from memory; standards table 8.1). */
class VcdFormTest {
    private static final String HEAD = "$date today $end\n$version made by hand $end\n$timescale 1 us $end\n"
            + "$scope module top $end\n$var wire 1 ! rx $end\n$upscope $end\n$enddefinitions $end\n";

    @Test
    void readsScalars() {
        Recording recording = Given.open(HEAD + "#0\n$dumpvars\n1!\n$end\n#10\n0!\n#18\n1!\n#20\n1!\n#30\n");
        assertEquals(List.of("0: begin 0 1", "0: 10000000 0", "0: 18000000 1", "end 30000000"),
                Given.read(recording).lines(1));
        assertEquals(List.of("rx"), recording.info().lines());
        assertEquals("VCD", recording.info().form());
    }

    @ParameterizedTest
    @CsvSource({"1 s,1000000000000", "100ms,100000000000", "10 us,10000000", "1ns,1000", "100 ps,100", "10ps,10",
        "1 ps,1"})
    void everyTimeScale(String scale, long picos) {
        Heard heard = Given.read(HEAD.replace("1 us", scale) + "#0 1! #3 0! #5 1! ");
        assertEquals(List.of("0: begin 0 1", "0: " + 3 * picos + " 0", "0: " + 5 * picos + " 1", "end " + 5 * picos),
                heard.lines(1));
    }

    @Test
    void femtosecondsAreRoundedToThePicosecond() {
        Heard heard = Given.read(HEAD.replace("1 us", "1 fs") + "#0 1! #1499 0! #2500 1! #9000 ");
        assertEquals(List.of("0: begin 0 1", "0: 1 0", "0: 3 1", "end 9"), heard.lines(1));
    }

    @Test
    void unknownLevelsAreGaps() {
        Heard heard = Given.read(HEAD + "#0 x! #5 1! #10 0! #12 z! #20 0! #25 1! #30 x! #40 ");
        assertEquals(List.of("0: gap 0 5000000 the level is given as unknown", "0: begin 5000000 1",
                "0: 10000000 0", "0: gap 12000000 20000000 the level is given as unknown", "0: begin 20000000 0",
                "0: 25000000 1", "0: gap 30000000 40000000 the level is given as unknown", "end 40000000"),
                heard.lines(1));
    }

    @Test
    void dumpingCanBeSwitchedOff() {
        Heard heard = Given.read(HEAD + "#0 1! #5 0! #6 $dumpoff x! $end #50 $dumpon 1! $end #60 0! #61 ");
        assertEquals(List.of("0: begin 0 1", "0: 5000000 0", "0: gap 6000000 50000000 dumping was switched off",
                "0: begin 50000000 1", "0: 60000000 0", "end 61000000"), heard.lines(1));
    }

    @Test
    void theLastValueOfAnInstantCounts() {
        Heard heard = Given.read(HEAD + "#0 0! 1! #10 0! 1! #20 0! x! 0! #30 x! 1! #40 ");
        assertEquals(List.of("0: begin 0 1", "0: 20000000 0", "0: 30000000 1", "end 40000000"), heard.lines(1));
    }

    @Test
    void linesAreNamedFromTheScopeThatHoldsThemAll() {
        Recording recording = Given.open("""
                $timescale 1 us $end $comment bench two $end
                $scope module top $end $scope module left $end
                $var wire 1 ab rx $end $var reg 8 v data [7:0] $end
                $upscope $end $scope begin right $end
                $var reg 1 " rx [0] $end $var wire 1 ab seen $end $var real 64 r volts $end $var event 1 e fired $end
                $upscope $end $upscope $end $enddefinitions $end
                #0 $dumpvars 1ab 0" b00000000 v r1.5 r $end
                #10 0ab b00000001 v 1e
                $comment $timescale is no business of a comment $end
                #20 1ab r2.5 r
                #30
                """);
        assertEquals(List.of("left.rx", "right.rx[0]"), recording.info().lines());
        assertEquals(List.of("bench two"), recording.info().notes());
        assertEquals(0, recording.chooseLine(null), "only one moves");
        assertEquals(0, recording.chooseLine("left.rx"));
        assertEquals(0, recording.chooseLine("top.right.seen"), "another name of the same wire");
        assertEquals(1, recording.chooseLine("right.rx[0]"));
        assertEquals(1, recording.chooseLine("2"));
        assertTrue(refusal(recording, "data[7:0]").contains("vector of 8 bits"));
        assertTrue(refusal(recording, "volts").contains("real numbers"));
        assertTrue(refusal(recording, "fired").contains("no level"));
        assertTrue(refusal(recording, "nothing").contains("no line is named"));
    }

    private static String refusal(Recording recording, String name) {
        try {
            throw new AssertionError("chose " + recording.chooseLine(name));
        } catch (InputFault fault) {
            return fault.what();
        }
    }

    @Test
    void severalMovingLinesAreListed() {
        Recording recording = Given.open(
                HEAD.replace("$upscope", "$var wire 1 # key $end $var wire 1 $ off $end $upscope")
                        + "#0 1! 0# 0$ #1 0! #2 1! 1# #3 ");
        InputFault fault = org.junit.jupiter.api.Assertions.assertThrows(InputFault.class,
                () -> recording.chooseLine(null));
        assertEquals("2 lines move: rx (2 changes), key (1 changes)", fault.what());
    }

    @Test
    void faultsNameTheLine() {
        assertFault("$timescale 3 us $end\n", 1, "time scale");
        assertFault(HEAD.replace("$timescale 1 us $end", ""), 7, "$timescale is missing");
        assertFault("$timescale 1 us $end\n$var wire 1 !\n", 2, "never reaches its $end");
        assertFault("$timescale 1 us $end\n\n$var wire 8 ! data $end $enddefinitions $end\n", 3, "vector of 8 bits");
        assertFault("$timescale 1 us $end\n", 2, "never reach $enddefinitions");
        assertFault(HEAD.replace("1 us", "100 s") + "#0 1! #1 0!", -1, "the tick of 100 s cannot be true");
        assertFault(HEAD + "#5\n1!\n#4\n0!\n", 10, "backwards");
        assertFault(HEAD + "#5\n1!\n#9q\n0!\n", 10, "not a time");
        assertFault(HEAD + "#5\n1!\n#99999999999999999\n0!\n", 10, "106 days");
        assertFault(HEAD + "#5\n1!\nyes\n0!\n", 10, "neither a time nor a value");
        assertFault(HEAD + "#5\n$dumpports\n0!\n", 9, "extended dump");
        assertFault(HEAD, 8, "no value");
    }

    private static void assertFault(String text, int line, String what) {
        InputFault fault = Given.fault(text);
        assertEquals(line, fault.place().line(), fault.getMessage());
        assertTrue(fault.what().contains(what), fault.getMessage());
    }

    @Test
    void aDumpCutShortIsReadUpToTheCut() {
        Recording cut = Given.open(HEAD + "#0\n1!\n#10\n0!\n#20\n1");
        assertEquals(List.of("0: begin 0 1", "0: 10000000 0", "end 20000000"), Given.read(cut).lines(1));
        assertEquals(1, cut.notices().seen());
    }
}
