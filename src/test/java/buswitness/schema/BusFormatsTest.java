package buswitness.schema;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
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

class BusFormatsTest {
    @Test
    void everyBuiltInFormatLoadsUnderItsName() {
        for (String name : BusFormats.names()) assertEquals(name, BusFormats.builtIn(name).name());
        assertThrows(IllegalArgumentException.class, () -> BusFormats.builtIn("can-fd"));
        assertTrue(BusFormats.codings().contains("can-fd"));
    }

    @Test
    void namesAreWrittenWithAsManyDigitsAsTheirFieldsFill() {
        assertEquals(8, BusFormats.builtIn("can").nameDigits(29));
        assertEquals(3, BusFormats.builtIn("can").nameDigits(11));
        assertEquals(2, BusFormats.builtIn("lin").nameDigits());
        assertEquals(6, BusFormats.builtIn("j1850-vpw").nameDigits());
        assertEquals(9, BusFormats.builtIn("lin").nameDigits(32), "eight digits mean an extended CAN identifier");
    }

    @Test
    void payloadsAreAsLongAsTheFormatAllows() {
        assertEquals(8, BusFormats.builtIn("can").mostDataBytes());
        assertEquals(8, BusFormats.builtIn("lin").mostDataBytes());
        assertEquals(10, BusFormats.builtIn("j1850-pwm").mostDataBytes());
        assertEquals(255, BusFormats.builtIn("iso14230").mostDataBytes());
    }

    @Test
    void everyDocumentedExampleLoads() throws IOException {
        String page = Files.readString(Path.of("captures/bus-format.md"));
        Matcher block = Pattern.compile("(?ms)^```yaml\n(.*?)^```$").matcher(page);
        List<Layout> loaded = new ArrayList<>();
        while (block.find()) loaded.add(Layouts.parse(block.group(1), "example"));
        assertEquals(3, loaded.size());
        for (Layout layout : loaded) assertNotNull(layout.format());
    }

    @Test
    void theInventedBusesLoad() {
        Layout wire = Layouts.load(Path.of("captures/comfort-wire.layout.yaml"));
        assertEquals("comfort-wire", wire.coding());
        assertEquals(3, wire.messages().get(0).hexDigits());
        assertEquals(BusFormat.Arbitration.WHOLE_FRAME, wire.format().arbitration());
        Layout line = Layouts.load(Path.of("captures/cabin-line.layout.yaml"));
        assertEquals(ResponseFormat.Kind.REPLY_SLOT, line.format().response().kind());
        assertEquals(31, line.format().mostDataBytes());
    }

    @Test
    void aLayoutMayNameABuiltInBus() {
        Layout lin = Layouts.parse("bus: {coding: lin}\nmessages: {lamp: {id: 0x21, length: 8}}\n", "x");
        assertEquals(2, lin.messages().get(0).hexDigits());
        assertEquals("lin", lin.format().name());
        Layout can = Layouts.parse("bus: {coding: can}\nmessages: {lamp: {id: 0x21}}\n", "x");
        assertNull(can.format());
        Layout fd = Layouts.parse("bus: {coding: can-fd, rate: 500 kbit/s, data rate: 2 Mbit/s}\n"
                + "messages: {lamp: {id: 0x21, length: 64}}\n", "x");
        assertEquals(2e6, fd.dataBitsPerSecond());
        Layout vpw = Layouts.parse("bus: {coding: j1850-vpw}\nmessages: {a: {id: 0x486B10}, b: {id: 0x10}}\n", "x");
        assertEquals(6, vpw.messages().get(0).hexDigits());
        assertEquals(2, vpw.messages().get(1).hexDigits(), "the one-byte header");
    }

    /** Every fault is one line that says where and what to do. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '`', value = {
        "naming: {message: [topic]|naming: {message: [topick]|line 17|topick|did you mean 'topic'",
        "count: size|count: sise|line 12|sise|did you mean 'size'",
        "count: size|rest: 8|line 12|must tell its own end|use 'count'",
        "width: 8, polynomial|width: 9, polynomial|line 16|9 bits|same width",
        "end bits: 6|end bits: 4|line 7|4 resting bits|use 5 or more",
        "stuffed until: guard|stuffed until: gard|line 7|gard|did you mean 'guard'",
        "kind: stuffed bits|kind: stuffed|line 7|stuffed|known here",
        "arbitration: whole frame|arbitration: whole|line 14|whole|known here",
        "name: short-wire|name: lin|line 5|built-in|another name",
        "from: topic, until: body|from: body, until: topic|line 16|comes before|turn the two round",
        "until: body, crc|until: guard, crc|line 16|cover itself|end the span",
        "bits: 9}|bits: 90}|line 9|out of range|use 1 to 48",
        "id: 0x0A4|id: 0x2A4|line 19|out of range|use 0 to 511"
    })
    void faultsSayWhereAndWhatToDo(String old, String wrong, String where, String what, String toDo) throws IOException {
        String page = Files.readString(Path.of("captures/bus-format.md"));
        Matcher block = Pattern.compile("(?ms)^```yaml\n(.*?)^```$").matcher(page);
        assertTrue(block.find());
        assertTrue(block.group(1).contains(old), old);
        String text = block.group(1).replace(old, wrong);
        InputFault fault = assertThrows(InputFault.class, () -> Layouts.parse(text, "x.yaml"));
        String line = fault.getMessage();
        assertTrue(line.contains(where + ",") && line.contains(what) && line.contains(toDo), line);
        assertFalse(line.contains("\n"), line);
    }

    @Test
    void bytesAreFilledByWholeFields() {
        String head = "name: x\nline: {kind: bytes, longest gap bits: 4, rest bits: 9}\narbitration: none\n"
                + "naming: {message: a, data: b}\n";
        InputFault open = assertThrows(InputFault.class,
                () -> BusFormats.parse(head + "fields: {a: {bits: 5}, c: {bits: 5}, b: {bits: 8, rest: 4}}", "x"));
        assertTrue(open.getMessage().contains("takes parts of a byte"), open.getMessage());
        InputFault end = assertThrows(InputFault.class,
                () -> BusFormats.parse(head + "fields: {a: {bits: 8}, b: {bits: 8, rest: 4}, c: {bits: 5}}", "x"));
        assertTrue(end.getMessage().contains("5 bits into a byte"), end.getMessage());
    }
}
