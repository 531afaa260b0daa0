package buswitness.schema;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
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
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

class LayoutsTest {
    private static final Path VECTORS = Path.of("src/test/resources/vectors/schema");

    /** Every fenced block marked yaml of the page that documents the schema. */
    static List<String> documented() throws IOException {
        String page = Files.readString(Path.of("captures/layout-format.md"));
        Matcher block = Pattern.compile("(?ms)^```yaml\n(.*?)^```$").matcher(page);
        List<String> out = new ArrayList<>();
        while (block.find()) out.add(block.group(1));
        return out;
    }

    @Test
    void everyDocumentedExampleLoads() throws IOException {
        List<String> examples = documented();
        assertEquals(8, examples.size(), "examples found in captures/layout-format.md");
        for (String example : examples) assertFalse(Layouts.parse(example, "example").messages().isEmpty());
    }

    @Test
    void theWholeExampleSaysWhatThePageSays() throws IOException {
        Layout layout = Layouts.parse(documented().get(0), "example");
        assertEquals("body bus", layout.busName());
        assertEquals("can", layout.coding());
        assertEquals(125_000, layout.bitsPerSecond());
        assertEquals(List.of("engine unit", "gauge translator", "dashboard"), layout.nodes());
        Message message = layout.messages().get(0);
        assertEquals(0x1D0, message.identifier());
        assertEquals(3, message.hexDigits());
        assertEquals(List.of("engine unit"), message.from());
        assertEquals(List.of("dashboard"), message.readBy());
        assertEquals(0.1, message.everySeconds());
        assertEquals(8, message.length());
        Signal coolant = message.carries().get(0);
        assertEquals(3, coolant.changesAtMostPerSecond());
        assertArrayEquals(new double[] {-40, 215}, coolant.span());
        Gauge gauge = (Gauge) layout.instruments().get(0);
        assertEquals(0.8, gauge.settlesSeconds());
        assertEquals(0.5, gauge.shareOf(90));
        assertTrue(Double.isNaN(gauge.timeoutSeconds()));
        assertTrue(((Lamp) layout.instruments().get(1)).isLit(1));
        assertEquals(1, message.carries().get(1).read(new byte[] {0, 0x08, 0, 0}, 4), "bit 12 is 0x08 of byte two");
    }

    @Test
    void instrumentsFollowTheirWords() throws IOException {
        Layout layout = Layouts.parse(documented().get(5), "example");
        Gauge coolant = (Gauge) layout.instruments().get(0);
        assertArrayEquals(new double[] {50, 80, 105, 130}, coolant.values());
        assertArrayEquals(new double[] {0, 0.45, 0.5, 1}, coolant.shares());
        assertEquals(0.6, coolant.travelsAtMostPerSecond());
        assertEquals(2, coolant.timeoutSeconds());
        assertEquals(0, coolant.timeoutShare());
        String[] litAt = {"15", "1 2 3 4 5 6", "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15"};
        for (int i = 0; i < 3; i++) {
            Lamp lamp = (Lamp) layout.instruments().get(i + 1);
            StringBuilder lit = new StringBuilder();
            for (int gear = 0; gear < 16; gear++) if (lamp.isLit(gear)) lit.append(' ').append(gear);
            assertEquals(litAt[i], lit.toString().strip(), lamp.name());
        }
        Lamp hot = (Lamp) layout.instruments().get(4);
        assertTrue(hot.isLit(118) && hot.isLit(215) && !hot.isLit(117));
        Lamp charge = (Lamp) layout.instruments().get(5);
        assertTrue(charge.litAtTimeout() && charge.timeoutSeconds() == 1);
        Lamp trailer = (Lamp) layout.instruments().get(7);
        assertTrue(trailer.blinksByDesign());
        assertEquals("trailer state", trailer.message().name());
    }

    @Test
    void pagesHideValues() throws IOException {
        Message pages = Layouts.parse(documented().get(4), "example").messages().get(0);
        byte[] second = {0x10, 100};
        assertTrue(Double.isNaN(pages.carries().get(1).read(second, 2)), "page 0 is not shown");
        assertEquals(40, pages.carries().get(2).read(second, 2), 1e-12, "page 1: 100 x 0.4");
        assertEquals(new Signal.Page(0, 4, 0), pages.carries().get(1).page(), "page by signal name");
    }

    /**
     * SAE J1979 / ISO 15031-5 scalings (formulas seen in an open copy; the coolant range from memory): coolant A - 40,
     * speed A, engine speed (256 A + B) / 4 with the worked example 1A F8 = 1726 rpm, throttle A x 100 / 255.
     */
    @ParameterizedTest
    @CsvSource({"'bits: 0..7, offset: -40',00,-40", "'bits: 0..7, offset: -40',FF,215",
        "'bits: 0..7, offset: -40',7B,83",
        "'bits: 0..7',FF,255", "'bits: 0..15, factor: 0.25',1AF8,1726", "'bits: 0..15, factor: 0.25',FFFF,16383.75",
        "'bits: 0..15, factor: 0.25, low byte first: true',F81A,1726",
        "'bits: 0..7, factor: 0.39215686274509803',FF,100", "'bits: 8..15, signed: true',00FE,-2",
        "'bits: 0..15, signed: true, low byte first: true',FEFF,-2", "'bits: 4..11',0AB0,171", "'bit: 7',01,1"})
    void publishedScalings(String field, String payload, double expected) {
        Layout layout = Layouts.parse("messages: {m: {id: 0x10, carries: {v: {" + field + "}}}}", "j1979");
        byte[] data = new java.math.BigInteger("01" + payload, 16).toByteArray();
        byte[] bytes = java.util.Arrays.copyOfRange(data, 1, data.length);
        assertEquals(expected, layout.messages().get(0).carries().get(0).read(bytes, bytes.length), 1e-9);
    }

    static Stream<Path> badLayouts() throws IOException {
        List<Path> found;
        try (Stream<Path> files = Files.list(VECTORS)) {
            found = files.filter(p -> p.toString().endsWith(".yaml")).sorted().toList();
        }
        assertTrue(found.size() >= 25, "vectors are missing, found " + found.size());
        return found.stream();
    }

    /** Each file's second line holds the place and words that its fault must have. */
    @ParameterizedTest
    @MethodSource("badLayouts")
    void badLayoutsAreRefusedWhereTheyAreWrong(Path file) throws IOException {
        String expected = Files.readAllLines(file).get(1).replace("# expect: ", "");
        InputFault fault = assertThrows(InputFault.class, () -> Layouts.load(file));
        String met = fault.place().line() + ":" + fault.place().column() + " " + fault.what() + "; " + fault.toDo();
        String place = expected.substring(0, expected.indexOf(' '));
        assertTrue(met.startsWith(place + " "), "expected " + expected + " but was " + met);
        assertTrue(met.contains(expected.substring(place.length() + 1)), "expected " + expected + " but was " + met);
    }

    @Test
    void extendedIdentifiers() {
        Layout layout = Layouts.parse("messages: {a: {id: 0x18DB33F1}, b: {id: 0x00000012}, c: {id: 0x12}, "
                + "d: {id: 0x13, extended: true}}", "x");
        assertEquals(List.of(8, 8, 3, 8), layout.messages().stream().map(Message::hexDigits).toList());
        assertNull(layout.coding());
        assertTrue(Double.isNaN(layout.bitsPerSecond()));
    }

    @Test
    void hostileNamesAreKeptAsTheyAre() {
        String[] names = {"<script>alert('x')</script>", "\"quoted\" & 'single'", "\u202Eright to left\u202C \u200F",
            "a / b", "käse ☃ 漢字", "line\u2028separator", "%s %n ${x}", "=1+1", "-", "0x1D0", "true"};
        StringBuilder text = new StringBuilder("nodes:\n");
        for (String name : names) text.append("  ").append(quoted(name)).append(": {}\n");
        text.append("messages:\n");
        for (int i = 0; i < names.length; i++) {
            String q = quoted(names[i]);
            text.append("  ").append(q).append(": {id: ").append(i).append(", from: ").append(q)
                    .append(", carries: {").append(q).append(": {bits: 0..7, unit: ").append(q).append("}}}\n");
        }
        text.append("instruments:\n");
        for (String name : names) {
            String q = quoted(name);
            text.append("  ").append(q).append(": {shows: ").append(q).append(", from: 0, to: 9}\n");
        }
        Layout layout = Layouts.parse(text.toString(), "hostile");
        assertEquals(List.of(names), layout.nodes());
        assertEquals(List.of(names), layout.messages().stream().map(Message::name).toList());
        assertEquals(List.of(names), layout.messages().stream().map(m -> m.from().get(0)).toList());
        assertEquals(List.of(names), layout.messages().stream().map(m -> m.carries().get(0).unit()).toList());
        assertEquals(List.of(names), layout.instruments().stream().map(Instrument::name).toList());
        assertEquals(List.of(names), layout.instruments().stream().map(i -> i.signal().name()).toList());
    }

    private static String quoted(String name) {
        return "\"" + name.replace("\\", "\\\\").replace("\"", "\\\"").replace("\u2028", "\\u2028") + "\"";
    }

    @Test
    void aRateMayRepeatTheUnit() {
        for (String rate : new String[] {"3 per s", "3 °C per s", "180 per min", "180 °C per min"}) {
            Layout layout = Layouts.parse("messages: {m: {id: 1, carries: {v: {bits: 0..7, unit: °C, changes at most: "
                    + rate + "}}}}", "x");
            assertEquals(3, layout.messages().get(0).carries().get(0).changesAtMostPerSecond(), 1e-12, rate);
        }
        assertThrows(InputFault.class, () -> Layouts.parse(
                "messages: {m: {id: 1, carries: {v: {bits: 0..7, unit: °C, changes at most: 3 rpm per s}}}}", "x"));
    }

    @Test
    void aScaleMayRunBackwards() {
        Layout layout = Layouts.parse("messages: {m: {id: 1, carries: {v: {bits: 0..7}}}}\n"
                + "instruments: {g: {shows: v, from: 200, to: 100}}", "x");
        Gauge gauge = (Gauge) layout.instruments().get(0);
        assertEquals(0, gauge.shareOf(200));
        assertEquals(1, gauge.shareOf(100));
        assertEquals(0.25, gauge.shareOf(175));
    }
}
