package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.util.List;
import org.junit.jupiter.api.Test;

/** CSV of time,level; quoting by RFC 4180 section 2. */
class CsvFormTest {

    @Test
    void theHeaderNamesTheUnit() {
        assertEquals(TimeUnit.S, CsvHead.unitIn("time_s"));
        assertEquals(TimeUnit.US, CsvHead.unitIn("time [us]"));
        assertEquals(TimeUnit.MS, CsvHead.unitIn("Time (ms)"));
        assertEquals(TimeUnit.NS, CsvHead.unitIn("t/ns"));
        assertEquals(TimeUnit.US, CsvHead.unitIn("time since start (\u00b5s)"));
        assertEquals(TimeUnit.S, CsvHead.unitIn("seconds"));
        assertEquals(TimeUnit.PS, CsvHead.unitIn("ps"));
        assertNull(CsvHead.unitIn("times"));
        assertNull(CsvHead.unitIn("ts"));
        assertNull(CsvHead.unitIn("time"));
        assertNull(CsvHead.unitIn("timestamp"));
    }

    @Test
    void everyDecimalIsKept() {
        Recording recording = Given.open("time_s,bus\r\n0.0,1\r\n0.000013888889,0\r\n2.7e-05,1\r\n"
                + "1000.123456789012,0\r\n1000.123456789013,1\r\n1000.5,1\r\n");
        assertEquals(List.of("0: begin 0 1", "0: 13888889 0", "0: 27000000 1", "0: 1000123456789012 0",
                "0: 1000123456789013 1", "end 1000500000000000"), Given.read(recording).lines(1));
        assertEquals(1.0, recording.info().tickPicos());
    }

    @Test
    void severalColumnsAreSeveralLines() {
        Recording recording = Given.open("\uFEFF\"time [us]\",\"bus, body\",switch\n"
                + "0,1,0\n5,0,0\n6,0,\n\"9\",\"1\",1\n10,1,1\n");
        assertEquals(List.of("bus, body", "switch"), recording.info().lines());
        assertEquals(List.of("0: begin 0 1", "0: 5000000 0", "0: 9000000 1", "1: begin 0 0",
                "1: gap 6000000 9000000 no level is given", "1: begin 9000000 1", "end 10000000"),
                Given.read(recording).lines(2));
    }

    @Test
    void withoutHeaderTheUnitMustBeSaid() {
        byte[] text = Given.utf8("0;1\n0,5;0\n1,25;1\n");
        assertTrue(Given.fault(text).toDo().contains("--time-unit"));
        Recording recording = Recordings.open(Given.source(text), new ReadOptions("ms", null));
        assertEquals(List.of("0: begin 0 1", "0: 500000000 0", "0: 1250000000 1", "end 1250000000"),
                Given.read(recording).lines(1));
        InputFault fault = org.junit.jupiter.api.Assertions.assertThrows(InputFault.class,
                () -> Recordings.open(Given.source(text), new ReadOptions("fortnights", null)));
        assertTrue(fault.what().contains("no unit of time"));
    }

    @Test
    void distantOrNegativeTimesCountFromTheFirst() {
        for (String first : List.of("1609459200", "-3")) {
            long start = Long.parseLong(first);
            Recording recording = Given.open("t_s,bus\n" + first + ",1\n"
                    + (start + 1) + ",0\n" + (start + 2) + ".0,1\n");
            assertEquals(List.of("0: begin 0 1", "0: 1000000000000 0", "0: 2000000000000 1", "end 2000000000000"),
                    Given.read(recording).lines(1));
            assertTrue(recording.notices().kept().get(0).says().contains(first));
        }
    }

    @Test
    void faultsNameLineAndColumn() {
        assertFault("time_us,bus\n0,1\n5,0\n4,1\n", 4, 1, "backwards");
        assertFault("time_us,bus\n0,1\n5,3.28\n", 3, 3, "not a level");
        assertFault("time_us,bus\n0,1\n5,0,1\n", 3, 1, "no row of a time and a level");
        assertFault("time,bus\n0,1\n5,0\n", -1, -1, "does not say the unit");
        assertFault("time_us,bus\n", -1, -1, "no row");
        assertFault("timestamp,CAN_ID,DLC\n0.0,1D0,8\n", 2, 5, "not a level");
        StringBuilder far = new StringBuilder("time_us,bus\n");
        for (int i = 0; i < 1000; i++) far.append(i).append(',').append(i & 1).append('\n');
        assertFault(far + "x,1\n", 1002, 1, "not a time");
        assertFault(far + "1000,5\n", 1002, 6, "not a level");
        assertFault(far + "1000\n", 1002, -1, "this row has 1 fields");
        assertFault(far + "9999999999999999999999,1\n", 1002, 1, "106 days");
        assertFault(far + "\"1000,1\n\n", 1002, -1, "quotes");
    }

    private static void assertFault(String text, int line, int column, String what) {
        InputFault fault = Given.fault(text);
        assertTrue(fault.what().contains(what), fault.getMessage());
        assertEquals(line, fault.place().line(), fault.getMessage());
        assertEquals(column, fault.place().column(), fault.getMessage());
    }

    @Test
    void aCsvCutShortIsReadUpToTheCut() {
        Recording cut = Given.open("time_us,bus\n0,1\n5,0\n7,1\n9");
        assertEquals(List.of("0: begin 0 1", "0: 5000000 0", "0: 7000000 1", "end 7000000"), Given.read(cut).lines(1));
        assertEquals(1, cut.notices().seen());
    }

    @Test
    void otherFilesAreNoRecordings() {
        assertTrue(Given.fault("").what().contains("is empty"));
        assertTrue(Given.fault("Dear customer\nthe car is ready\n").what().contains("not a recording"));
        assertTrue(Given.fault(new byte[] {1, 2, 0, 3, 4}).what().contains("binary data"));
        assertTrue(Given.fault(Given.gzip(new byte[0])).what().contains("is empty"));
    }
}
