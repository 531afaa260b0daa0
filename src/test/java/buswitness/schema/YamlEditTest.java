package buswitness.schema;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class YamlEditTest {
    private static final String ODD = """
            # our van
            messages:            # seen on the bench
              engine state :
                every:   100 ms      # the maker says so
                id: 0x1D0
                carries: { coolant :  {bits: 0..7,   offset: -40}  , }   # flat

              # slow ones
              "door: state":
                  length: 3
                  id: 0x2B0
            # nothing below
            nodes: [ engine unit ,dashboard ]
            bus: {rate: 125 kbit/s,
                  name: old}      # two lines
            """;

    @Test
    void nothingChangedMeansNothingTouched() {
        YamlEdit edit = new YamlEdit(ODD, "t");
        assertFalse(edit.changed());
        assertEquals(ODD, edit.text());
    }

    @Test
    void onlyTheNamedCharactersChange() {
        YamlEdit edit = new YamlEdit(ODD, "t");
        edit.set(List.of("messages", "engine state", "every"), "100.4 ms");
        edit.add(List.of("messages", "engine state", "carries"), "oil low", entry("bit", "12"));
        edit.add(List.of("messages", "engine state", "carries", "coolant"), "unit", YamlText.word("°C"));
        edit.add(List.of("messages", "door: state"), "from", "dashboard");
        edit.addItem(List.of("nodes"), "door unit");
        edit.add(List.of("bus"), "coding", "can");
        edit.add(List.of("messages"), "new one", entry("id", "0x300", "length", "2"));
        String want = ODD.replace("every:   100 ms ", "every:   100.4 ms ")
                .replace("offset: -40}", "offset: -40, unit: °C}, oil low: {bit: 12}")
                .replace("      id: 0x2B0\n", "      id: 0x2B0\n      from: dashboard\n  new one: {id: 0x300, length: 2}\n")
                .replace("dashboard ]", "dashboard, door unit ]").replace("name: old}", "name: old, coding: can}");
        assertEquals(want, edit.text());
        YamlDocument.parse(edit.text(), "t");
    }

    @Test
    void emptyPlacesAreFilled() {
        YamlEdit edit = new YamlEdit("nodes:\n  door unit:\n  climate unit: {}\nmessages:\n", "t");
        edit.add(List.of("nodes", "door unit"), "note", "left");
        edit.add(List.of("nodes", "climate unit"), "note", "right");
        edit.add(List.of("messages"), "one", entry("id", "0x100"));
        edit.add(List.of(), "instruments", entry("a", entry("shows", "x")));
        String text = edit.text();
        assertEquals("left", YamlDocument.parse(text, "t").root().get("nodes").map().get("door unit").map().get("note").text());
        assertEquals("nodes:\n  door unit: {note: left}\n  climate unit: {note: right}\nmessages:\n  one: {id: 0x100}\n"
                + "instruments:\n  a: {shows: x}\n", text);
    }

    @Test
    void windowsLineEndsAndAMissingLastOneAreKept() {
        YamlEdit edit = new YamlEdit("\uFEFFnodes:\r\n- a\r\nmessages:\r\n  one:\r\n    id: 0x100", "t");
        edit.addItem(List.of("nodes"), "b");
        edit.add(List.of("messages", "one"), "length", "2");
        edit.add(List.of("messages", "one"), "every", "10 ms");
        edit.add(List.of("messages"), "two", entry("id", "0x101"));
        assertEquals("\uFEFFnodes:\r\n- a\r\n- b\r\nmessages:\r\n  one:\r\n    id: 0x100\r\n    length: 2\r\n    every: 10 ms\r\n"
                + "  two: {id: 0x101}\r\n", edit.text());
    }

    /** Marks count code points: a character beyond the basic plane before the place must not shift it. */
    @Test
    void charactersOfTwoHalvesDoNotShiftThePlace() {
        YamlEdit edit = new YamlEdit("note: 🚐🚐\nbus: {name: 🚐, rate: 1 kbit/s}\n", "t");
        edit.set(List.of("bus", "rate"), "2 kbit/s");
        assertEquals("note: 🚐🚐\nbus: {name: 🚐, rate: 2 kbit/s}\n", edit.text());
    }

    @ParameterizedTest
    @ValueSource(strings = {"engine unit", "a: b", "- x", "#no", "null", "yes", "12", "0x1D0", "1e5", "a #b", "it's \"x\"",
            "%", "°C", "km/h", "{", "tab\there", "Ölstand", "油圧", "a,b", "", " lead", "trail ", "0", "?", "don\\t"})
    void wordsComeBackAsTheyWere(String word) {
        YamlMap map = YamlDocument.parse("{x: " + YamlText.word(word) + "}", "t").root();
        assertEquals(word, map.get("x").text());
        if (!word.isEmpty()) {
            assertTrue(YamlDocument.parse(YamlText.block(2, word, "1"), "t").root().has(word));
        }
    }

    private static Map<String, Object> entry(Object... pairs) {
        Map<String, Object> map = new LinkedHashMap<>();
        for (int i = 0; i < pairs.length; i += 2) map.put((String) pairs[i], pairs[i + 1]);
        return map;
    }
}
