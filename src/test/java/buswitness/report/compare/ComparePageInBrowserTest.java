package buswitness.report.compare;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.compare.Change;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;
import buswitness.compare.Comparison;
import buswitness.testing.OfflineBrowser;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The page of a comparison in a real browser: on a wide screen, on a phone, on paper. */
class ComparePageInBrowserTest {
    private static final String HOSTILE = "<img src=x onerror=alert(1)> \u202E" + "w".repeat(70);
    private static OfflineBrowser browser;

    @TempDir
    Path folder;

    @BeforeAll
    static void start() {
        browser = new OfflineBrowser();
    }

    @AfterAll
    static void stop() {
        if (browser != null) browser.close();
    }

    private static Change value(String name, Standing standing, Origin origin) {
        return new Change(Kind.VALUES, name, "engine state (0x1D0)", "20 to 32\u00A0°C, mean 26.0\u00A0±\u00A01.9\u00A0°C",
                "\u221240 to 32\u00A0°C, mean \u22127.0\u00A0±\u00A01.2\u00A0°C", -33, 2.3, "°C", 1e-4, standing, origin,
                "means of stretches, neighbours alike");
    }

    private static Change told(Kind kind, String subject, String before, String after, Standing standing) {
        return new Change(kind, subject, subject, before, after, Double.NaN, Double.NaN, "", 1e-9, standing, Origin.BUS, "");
    }

    private static byte[] page(String name) throws IOException {
        List<Change> changes = new ArrayList<>();
        changes.add(told(Kind.SENDERS, name, "one sender", "two senders", Standing.CHANGED));
        changes.add(value("coolant temperature in engine state", Standing.CHANGED, Origin.FOLLOWS));
        changes.add(value("fuel level in fuel state", Standing.CHANGED, Origin.DRIVE));
        changes.add(told(Kind.MESSAGES, "door state (0x2B0)", "4 frames in 40\u00A0s", "none in 40\u00A0s", Standing.UNDECIDED));
        for (int i = 0; i < 60; i++) changes.add(value("value " + i + " of " + name, Standing.SAME, Origin.DRIVE));
        changes.add(new Change(Kind.PERIODS, "engine data", "engine data", "every 20.000417\u00A0±\u00A00.0000021\u00A0ms",
                "every 20.000660\u00A0±\u00A00.0000021\u00A0ms", 2.4e-4, 0.002, "ms", 1, Standing.SAME, Origin.BUS, ""));
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        CompareReports.writePage(new Comparison("before.vcd", "after.vcd", false, changes, 62, List.of("A note.")), out);
        return out.toByteArray();
    }

    @Test
    void opensOfflineAndTellsWhatChangedFirst() throws IOException {
        OfflineBrowser.Watched w = browser.open(page("engine state (0x1D0)"), folder, 1280);
        assertEquals(List.of(), w.console);
        assertEquals(1, w.requests.size(), "only the page itself: " + w.requests);
        assertEquals("1 difference on the bus.", w.page.locator("#verdict").innerText().strip());
        assertEquals(List.of("Changed", "Comes with these", "Bus or drive", "Undecided", "No difference beyond chance",
                "How this was compared", "Mind"), w.page.locator("h2").allInnerTexts());
        assertFalse(w.page.locator(".alike table").first().isVisible(), "what is alike is folded");
        w.page.locator(".alike summary").click();
        assertTrue(w.page.locator(".alike table").first().isVisible());
        w.page.context().close();
    }

    /** Each figure stands on one line with its error and its unit, as {@code 26.0 ± 1.9 °C} does. */
    @Test
    void noFigureBreaksWhateverTheWidth() throws IOException {
        for (int width : new int[] {360, 740, 800, 1280}) {
            OfflineBrowser.Watched w = browser.open(page("engine state (0x1D0)"), folder, width);
            w.page.locator(".alike summary").click();
            Object broken = w.page.evaluate("""
                    () => {
                      const out = [];
                      for (const cell of document.querySelectorAll('td.measured')) {
                        const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
                        for (let node = walk.nextNode(); node; node = walk.nextNode()) {
                          for (const m of node.data.matchAll(/[\u2212+]?[0-9.]+(\u00A0[^\\s]+)+/g)) {
                            const range = document.createRange();
                            range.setStart(node, m.index);
                            range.setEnd(node, m.index + m[0].length);
                            const lines = new Set(Array.from(range.getClientRects(), r => Math.round(r.top)));
                            if (lines.size > 1) out.push(m[0]);
                          }
                        }
                      }
                      return out;
                    }""");
            assertEquals(List.of(), broken, "at " + width);
            assertTrue(w.sideways() <= 0, "wider than " + width + " by " + w.sideways());
            w.page.context().close();
        }
    }

    @Test
    void hostileNamesStayTextAndFitAPhone() throws IOException {
        for (int width : new int[] {360, 1280}) {
            OfflineBrowser.Watched w = browser.open(page(HOSTILE), folder, width);
            assertEquals(List.of(), w.console);
            assertEquals(0, w.page.locator("img").count());
            assertTrue(w.sideways() <= 0, "wider than " + width + " by " + w.sideways());
            w.page.context().close();
        }
    }

    /** Sixty things that are alike took most of six pages once. */
    @Test
    void printsOnFewPagesWithoutWhatIsAlike() throws IOException {
        OfflineBrowser.Watched w = browser.open(page("engine state (0x1D0)"), folder, 1280);
        byte[] pdf = w.printed();
        Matcher sheet = Pattern.compile("/Type\\s*/Page[^s]").matcher(new String(pdf, StandardCharsets.ISO_8859_1));
        int sheets = 0;
        while (sheet.find()) sheets++;
        assertTrue(sheets == 1 || sheets == 2, sheets + " sheets");
        w.page.context().close();
    }
}
