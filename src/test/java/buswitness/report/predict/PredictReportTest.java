package buswitness.report.predict;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.predict.Forecast;
import buswitness.predict.PredictOptions;
import buswitness.predict.Predictions;
import buswitness.predict.Tried;
import buswitness.problem.Progress;
import buswitness.report.parts.Names;
import buswitness.report.parts.ScreenStyle;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;

/** A forecast as screen and page: what a customer reads, and what nobody may smuggle in. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class PredictReportTest {
    private static final PredictOptions SHORT = new PredictOptions(4, 12, 1);
    private Forecast forecast;
    private String page;

    @BeforeAll
    void forecast() throws IOException {
        List<Layout> layouts = new ArrayList<>();
        for (String name : List.of("dashboard", "engine-unit", "gauge-translator")) {
            layouts.add(Layouts.load(Path.of("captures/workshop/" + name + ".layout.yaml")));
        }
        forecast = Predictions.of(layouts, SHORT, Progress.SILENT);
        page = html(forecast);
    }

    private static String html(Forecast forecast) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PredictReports.writeHtml(forecast, out);
        return out.toString(StandardCharsets.UTF_8);
    }

    private static String screen(Forecast forecast) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PredictReports.writeScreen(forecast, new PrintStream(out, true, StandardCharsets.UTF_8), ScreenStyle.PLAIN, false);
        return out.toString(StandardCharsets.UTF_8);
    }

    private static String brief(String layout) throws IOException {
        return screen(Predictions.of(List.of(Layouts.parse(layout, "papers.yaml")), SHORT, Progress.SILENT))
                .replaceAll("\\s+", " ");
    }

    /** The short answer too names what stops an engine, and says so where it would do so in the drives. */
    @Test
    void whatStopsTheEngineIsNeverLeftToTheLongAnswer() throws IOException {
        String layout = """
                bus: {coding: can, rate: 125 kbit/s}
                nodes: [unit, sensor]
                messages:
                  heat: {id: 0x100, from: sensor, every: 100 ms, length: 1, carries: {heat: {bits: 0..7, while driving: 120}}}
                protections:
                  hot stop: {in: unit, watches: heat, acts when: at least 115, does: stops the engine, after: 2 s}
                """;
        String acts = brief(layout);
        assertTrue(acts.startsWith("These nodes do not get along on one bus. Hot stop in the unit (stops the engine): one sender"
                + " tells it. It acted in 4 of 4 simulated drives."), acts);
        assertTrue(acts.contains("The hot stop of the unit stops the engine after 2 s, on heat as the bus tells it. A function"
                + " that stops a running engine can kill on the road"), acts);
        assertTrue(brief(layout.replace("from: sensor, ", "").replace("protections:", "  other: {id: 0x101, from: sensor, every: 1 s,"
                + " length: 1}\nprotections:")).contains("nobody sends what it watches, so it will never act"));
        String calm = brief(layout.replace("driving: 120", "driving: 80"));
        assertFalse(calm.contains("It acted"), calm);
        assertTrue(calm.contains("can kill on the road"), calm);
        assertTrue(html(Predictions.of(List.of(Layouts.parse(layout, "x")), SHORT, Progress.SILENT)).contains("can kill on the road"));
    }

    /** A verdict never stands without its reason: two periods alone are one. */
    @Test
    void theShortAnswerSaysWhatDoesNotGoTogether() throws IOException {
        List<Layout> two = List.of(Layouts.parse("""
                bus: {coding: can, rate: 125 kbit/s}
                nodes: [dash]
                messages: {heat: {id: 0x100, read by: dash, every: 200 ms, length: 2, carries: {heat: {bits: 0..7}}}}
                instruments: {heat gauge: {shows: heat, from: 0, to: 200}}
                """, "needs.yaml"), Layouts.parse("""
                bus: {coding: can, rate: 125 kbit/s}
                nodes: [unit]
                messages: {heat: {id: 0x100, from: unit, every: 100 ms, length: 2, carries: {heat: {bits: 0..7}}}}
                """, "sends.yaml"));
        String text = screen(Predictions.of(two, SHORT, Progress.SILENT)).replaceAll("\\s+", " ");
        assertTrue(text.startsWith("These nodes do not get along on one bus. Two periods: heat (0x100): every 200 ms in needs.yaml,"
                + " every 100 ms in sends.yaml."), text);
    }

    /** One row a remedy, in the order of the forecast, each figure under its own head. */
    @Test
    void oneTableRanksTheRemedies() {
        Matcher rows = Pattern.compile("<tr><td class=\"figure\">(\\d+)</td>.*?data-label=\"Clashes left\">(\\d+) of 2</td>"
                + "<td data-label=\"Instruments served\">(\\d+) of 11 .*?data-label=\"Effort\">(\\d)</td>"
                + "<td class=\"figure\" data-label=\"Risk\">(\\d)</td></tr>").matcher(page);
        int row = 0;
        while (rows.find()) {
            Tried t = forecast.remedies().get(row++);
            assertEquals(row, Integer.parseInt(rows.group(1)));
            assertEquals(t.clashesLeft(), Integer.parseInt(rows.group(2)));
            assertEquals(t.served(), Integer.parseInt(rows.group(3)));
            assertEquals(t.effort(), Integer.parseInt(rows.group(4)));
            assertEquals(t.risk(), Integer.parseInt(rows.group(5)));
        }
        assertEquals(forecast.remedies().size(), row);
        assertTrue(row >= 10);
        for (int i = 1; i < forecast.remedies().size(); i++) {
            Tried a = forecast.remedies().get(i - 1);
            Tried b = forecast.remedies().get(i);
            assertTrue(a.clashesLeft() < b.clashesLeft() || a.clashesLeft() == b.clashesLeft() && a.served() >= b.served());
        }
    }

    @Test
    void theNeedleIsDrawnWithWhatEachNodeTellsIt() {
        assertTrue(page.contains("<path class=\"needle\" d=\"M"), "the coolant needle");
        assertTrue(page.contains("<path class=\"lit\" d=\"M"), "a lamp's bars");
        int pictures = page.split("<figure class=\"closeup\">").length - 1;
        assertEquals(3, pictures, "coolant gauge, oil lamp, charge lamp");
        assertTrue(page.contains("<bdi>engine unit</bdi></span>") && page.contains("<bdi>gauge translator</bdi></span>"));
    }

    @Test
    void cautionsStandOnBoth() {
        for (String text : List.of(page.replaceAll("<[^>]+>", "").replaceAll("\\s+", " "),
                screen(forecast).replaceAll("\\s+", " "))) {
            assertTrue(text.contains("A missing oil-pressure warning can hurt people"), text);
            assertTrue(text.contains("So can a function that stops a running engine"), text);
            assertTrue(text.contains("Until one of these is fitted and proved, nothing warns the driver."), text);
            assertTrue(text.contains("This forecast is a calculation, not an approval."), text);
        }
    }

    /** Names from a file can neither become markup nor turn text around. */
    @Test
    void hostileNamesStayText() throws IOException {
        String bad = "<img src=x onerror=alert(1)>\\u202Eevil";
        Layout layout = Layouts.parse("bus: {rate: 125 kbit/s}\nnodes: [\"" + bad + "\", b]\nmessages:\n  \"" + bad
                + "m\": {id: 0x10, from: [\"" + bad + "\", b], every: 100 ms, length: 1, carries: {\"" + bad
                + "v\": {bits: 0..7, unit: \"" + bad + "\"}}}\ninstruments:\n  \"" + bad + "g\": {shows: \"" + bad
                + "v\", from: 0, to: 200}\n", "bad.yaml");
        Forecast hostile = Predictions.of(List.of(layout), SHORT, Progress.SILENT);
        String text = html(hostile);
        assertFalse(text.contains("<img"), "markup from a name");
        assertFalse(text.contains("\u202E") || screen(hostile).contains("\u202E"), "text turned around");
    }

    @Test
    void whatCannotBeSimulatedIsSaidAndNotDecided() throws IOException {
        Forecast other = Predictions.of(List.of(Layouts.parse("bus: {coding: j1850-vpw}\n"
                + "nodes: [a]\nmessages: {m: {id: 0x2835, from: a, length: 2}}\n", "open.yaml")), SHORT,
                Progress.SILENT);
        assertEquals(Forecast.Answer.UNDECIDED, other.answer());
        String text = screen(other);
        assertTrue(text.startsWith("Whether these nodes get along on one bus is not decided."), text);
        assertTrue(text.contains("not analysed"), text);
        assertTrue(html(other).contains("is not decided"));
    }
}
