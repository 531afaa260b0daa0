package buswitness.schema;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Scalars follow YAML 1.2.2 clause 10.3.2 (core schema); positions are counted from 1. */
class YamlDocumentTest {
    private static YamlMap map(String text) {
        return YamlDocument.parse(text, "plan.yaml").root();
    }

    private static YamlValue value(String scalar) {
        return map("x: " + scalar).get("x");
    }

    private static InputFault fault(Runnable doing) {
        InputFault fault = assertThrows(InputFault.class, doing::run);
        assertFalse(fault.getMessage().contains("\n"), "one line: " + fault.getMessage());
        assertFalse(fault.what().isBlank() || fault.toDo().isBlank(), "says what and what to do");
        return fault;
    }

    private static void at(InputFault fault, int line, int column) {
        assertEquals(line + ":" + column, fault.place().line() + ":" + fault.place().column(), fault.getMessage());
    }

    @Test
    void numbersFollowTheCoreSchema() {
        assertEquals(31, value("0x1F").whole(0, 100));
        assertEquals(13, value("0o15").whole(0, 100));
        assertEquals(12, value("012").whole(0, 100), "no octal by a leading zero");
        assertEquals(-40, value("-40").number());
        assertEquals(1e3, value("1e3").number());
        assertEquals(0.5, value(".5").number());
        assertEquals("0x18DB33F1", value("0x18DB33F1").text(), "digits kept as written");
        assertEquals("on", map("on: on").get("on").text(), "on and yes are words");
        assertTrue(value("yes").flag());
        assertFalse(value("false").flag());
        assertTrue(value("").isEmpty());
        assertTrue(value("").map().keys().isEmpty());
    }

    @ParameterizedTest
    @CsvSource({"100 ms,TIME,0.1", "0.8 s,TIME,0.8", "40 us,TIME,4e-5", "40 µs,TIME,4e-5", "2 min,TIME,120",
        "0,TIME,0", "125 kbit/s,BIT_RATE,125000", "1 Mbit/s,BIT_RATE,1e6", "10400 bit/s,BIT_RATE,10400",
        "50 %,SHARE,0.5", "0.25,SHARE,0.25", "-40 ppm,DEVIATION,-40", "3 per s,PER_TIME,3", "90 per min,PER_TIME,1.5",
        "1.5 Hz,FREQUENCY,1.5", "150 % per s,SHARE_PER_TIME,1.5", "33.3kbit/s,BIT_RATE,33300",
        "30  per  min,PER_TIME,0.5"})
    void quantitiesCarryUnits(String text, Quantity quantity, double expected) {
        assertEquals(expected, value(text).quantity(quantity));
        assertEquals(expected, value('"' + text + '"').quantity(quantity), "quoted");
    }

    @Test
    void aQuantityWithoutOrWithAForeignUnitIsRefused() {
        InputFault bare = fault(() -> value("100").quantity(Quantity.TIME));
        assertTrue(bare.getMessage().contains("no unit") && bare.getMessage().contains("100 ms"));
        InputFault foreign = fault(() -> value("125 kbits/s").quantity(Quantity.BIT_RATE));
        assertTrue(foreign.toDo().contains("did you mean 'kbit/s'"), foreign.getMessage());
        at(foreign, 1, 4);
        fault(() -> value("fast").quantity(Quantity.BIT_RATE));
        fault(() -> value("1e999 s").quantity(Quantity.TIME));
        assertTrue(fault(() -> value("3 s").quantity(Quantity.TIME, 0, 1)).toDo().contains("0 to 1 s"));
    }

    @Test
    void rangesAreInclusiveAndAscend() {
        assertEquals(new YamlValue.Range(0, 7), value("0..7").range());
        assertEquals(new YamlValue.Range(1.5, 2.5), value("1.5..2.5").range());
        assertEquals(new YamlValue.Range(-40, -10), value("-40 .. -10").range());
        assertEquals(new YamlValue.Range(5, 5), value("5").range());
        assertEquals(new YamlValue.Range(16, 31), value("0x10..0x1F").range());
        assertTrue(fault(() -> value("7..0").range()).what().contains("downwards"));
        fault(() -> value("a..b").range());
    }

    @Test
    void wrongKindsAreNamedWithTheirPlace() {
        YamlMap map = map("first: 1\nsecond:\n  third: [a, {b: c}]\n");
        at(fault(() -> map.get("second").text()), 3, 3);
        at(fault(() -> map.get("first").map()), 1, 8);
        at(fault(() -> map.get("first").list()), 1, 8);
        List<YamlValue> list = map.get("second").map().get("third").list();
        at(fault(() -> list.get(1).number()), 3, 14);
        at(fault(() -> list.get(0).number()), 3, 11);
        assertEquals(1, map.get("first").oneOrMore().size());
        assertNull(map.get("fourth"));
        assertTrue(fault(() -> map.need("fourth", "fourth: 4")).getMessage().contains("fourth: 4"));
        fault(() -> value("\"12\"").whole(0, 20));
        fault(() -> value("1.5").whole(0, 20));
        fault(() -> value("99999999999999999999").whole(0, 20));
        fault(() -> value(".inf").number());
        fault(() -> value(".nan").number());
    }

    @Test
    void anUnknownWordComesWithItsNearest() {
        YamlMap map = map("a: 1\nshwos: 2\n");
        InputFault fault = fault(() -> map.allow("a", "shows", "from"));
        at(fault, 2, 1);
        assertEquals("plan.yaml, line 2, column 1: unknown word 'shwos'; did you mean 'shows'? known here: a, shows,"
                + " from", fault.getMessage());
        assertFalse(fault(() -> map.allow("zebra")).toDo().contains("did you mean"));
        assertEquals("red", fault(() -> value("rde").oneOf("red", "green")).toDo().split("'")[1]);
    }

    /** kitten to sitting is 3: the textbook example of the Levenshtein distance (from memory). */
    @Test
    void editDistance() {
        assertEquals(3, NearestWord.distance("kitten", "sitting"));
        assertEquals(1, NearestWord.distance("form", "from"), "a swap is one slip");
        assertEquals(4, NearestWord.distance("", "four"));
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '`', value = {
        "a: 1\\nb: 2\\na: 3|3|1|a second time (first on line 1)",
        "x: {a: 1, a: 2}|1|11|a second time",
        "x:\\n - {k: [ {b: 1, b: 2} ]}|2|17|a second time",
        "a: 1\\n---\\nb: 2|2|1|second document",
        "a: &anchor 1\\nb: *anchor|2|4|alias",
        "[a, b]: 1|1|1|list or map is used as a name",
        "a: [1, 2\\nb: 3|2|2|not valid YAML",
        "a: 1\\n\\tb: 2|2|1|not valid YAML",
        "a: b: c|1|5|not valid YAML",
        "a: \"open|1|9|not valid YAML",
        "a: {b: 1}}|1|10|not valid YAML"})
    void brokenDocumentsAreOneLineWithAPlace(String text, int line, int column, String says) {
        InputFault fault = fault(() -> map(text.replace("\\n", "\n").replace("\\t", "\t")));
        at(fault, line, column);
        assertTrue(fault.getMessage().contains(says), fault.getMessage());
    }

    @Test
    void emptyAndHostileDocumentsAreRefused() {
        assertTrue(fault(() -> map("")).what().contains("empty"));
        assertTrue(fault(() -> map("# only a comment\n")).what().contains("empty"));
        assertTrue(fault(() -> map("just a word")).what().contains("map"));
        assertTrue(fault(() -> map("x: " + "[".repeat(100_000))).what().contains("levels deep"));
        assertTrue(fault(() -> map("x: " + "{a: ".repeat(100_000))).what().contains("levels deep"));
        assertTrue(fault(() -> map("x: [" + "1,".repeat(300_000) + "1]")).what().contains("entries"));
        assertTrue(fault(() -> map("#" + "x".repeat(5_000_000))).what().contains("characters"));
        StringBuilder bomb = new StringBuilder("a0: &a0 [x, x]\n");
        for (int i = 1; i < 30; i++) bomb.append("a" + i + ": &a" + i + " [*a" + (i - 1) + ", *a" + (i - 1) + "]\n");
        assertTrue(fault(() -> map(bomb.toString())).what().contains("alias"));
        InputFault control = fault(() -> map("a: 1\nb: x\u0007y\n"));
        at(control, 2, 5);
        assertTrue(control.what().contains("U+0007"), control.getMessage());
    }

    @ParameterizedTest
    @ValueSource(strings = {"!!java/object 1", "!evil {a: 1}", "!!binary aGk="})
    void tagsNeverMakeAnObject(String tagged) {
        // A tag is passed over: the text or map behind it is read as such, nothing is ever constructed from it.
        YamlValue value = value(tagged);
        assertTrue(value.isMap() || value.isText());
    }

    @Test
    void filesAreStrictUtf8(@TempDir Path folder) throws Exception {
        Path file = folder.resolve("x.yaml");
        Files.write(file, new byte[] {'a', ':', ' ', (byte) 0xC3, '(', '\n'});
        InputFault fault = fault(() -> YamlDocument.load(file));
        assertEquals(3, fault.place().byteOffset());
        fault(() -> YamlDocument.load(folder.resolve("absent.yaml")));
        fault(() -> YamlDocument.load(folder));
        Files.writeString(file, "\uFEFFname: Büro \u202E\u05D0 <script>\r\n");
        assertEquals("Büro \u202E\u05D0 <script>", YamlDocument.load(file).root().get("name").text());
    }

    @Test
    void anyTextIsReadOrRefusedInOneLine() {
        long seed = Long.getLong("fuzz.seed", 20_261_125L);
        java.util.SplittableRandom random = new java.util.SplittableRandom(seed);
        String letters = "ab:,-[]{}#&*!|>'\"%@`?0x.\n \t\r\\~é\u202E\uFFFE";
        int refused = 0;
        for (int round = 0; round < 3_000; round++) {
            StringBuilder text = new StringBuilder();
            int length = random.nextInt(60);
            for (int i = 0; i < length; i++) text.append(letters.charAt(random.nextInt(letters.length())));
            try {
                YamlDocument.parse(text.toString(), "fuzz.yaml").root().keys();
            } catch (InputFault e) {
                refused++;
                assertFalse(e.getMessage().contains("\n"));
            } catch (RuntimeException | StackOverflowError e) {
                throw new AssertionError("seed " + seed + " round " + round + ": " + text, e);
            }
        }
        assertTrue(refused > 500, "most of it is refused: " + refused);
    }
}
