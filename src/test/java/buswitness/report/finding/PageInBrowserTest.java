package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Findings;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import buswitness.testing.OfflineBrowser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.options.BoundingBox;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The page in a real browser without any network: Debian's chromium, driven by Playwright. */
class PageInBrowserTest {
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

    private OfflineBrowser.Watched open(Findings findings, int width) throws IOException {
        return browser.open(PageReportTest.page(findings), folder, width);
    }

    @Test
    void opensWithoutErrorsOrRequestsAndShowsTheVerdict() throws IOException {
        for (Findings f : List.of(Samples.clash(), Samples.calm(), Samples.undecided(), Samples.noLayout())) {
            OfflineBrowser.Watched w = open(f, 1280);
            assertEquals(List.of(), w.console);
            assertEquals(1, w.requests.size(), "only the page itself: " + w.requests);
            assertEquals(new Summary(f, new Names(f)).headline(), w.page.locator("#verdict").innerText().strip());
            assertTrue(w.page.locator("#verdict").isVisible());
            assertTrue(w.page.locator("#lanes svg").count() > 4);
            w.page.context().close();
        }
    }

    @Test
    void theWheelZoomsEveryLaneAlike() throws IOException {
        Page page = open(Samples.clash(), 1280).page;
        List<String> before = windows(page);
        assertEquals(List.of("0 40000000"), before.stream().distinct().toList());
        Locator lane = page.locator("svg[data-lane=instrument]").first();
        lane.scrollIntoViewIfNeeded();
        BoundingBox box = lane.boundingBox();
        page.mouse().move(box.x + 5, box.y + 5);
        page.mouse().move(box.x + box.width / 2, box.y + box.height / 2);
        page.mouse().wheel(0, -300);
        await(page, "Number(document.getElementById('lanes').dataset.until) < 39000000");
        List<String> after = windows(page);
        assertEquals(1, after.stream().distinct().count(), "lanes disagree: " + after);
        assertEquals(before.size(), after.size());
        double span = number(page, "until") - number(page, "from");
        assertTrue(span > 10e6 && span < 20e6, "one notch of 300 narrows by e: " + span);
        page.context().close();
    }

    @Test
    void theKeyboardZoomsAndMovesEveryLaneAlike() throws IOException {
        Page page = open(Samples.clash(), 1280).page;
        page.locator("#lanes").focus();
        press(page, "+");
        assertEquals(20e6, number(page, "until") - number(page, "from"), 1);
        assertEquals(10e6, number(page, "from"), 1);
        press(page, "ArrowRight");
        assertEquals(14e6, number(page, "from"), 1);
        press(page, "ArrowLeft");
        press(page, "-");
        assertEquals(40e6, number(page, "until") - number(page, "from"), 1);
        press(page, "+");
        assertEquals(1, windows(page).stream().distinct().count());
        press(page, "Home");
        assertEquals(List.of("0 40000000"), windows(page).stream().distinct().toList());
        assertNotEquals("none", page.evaluate("getComputedStyle(document.getElementById('lanes')).outlineStyle"),
                "focus must be seen");
        page.context().close();
    }

    @Test
    void buttonsAndDragMoveTooAndCollisionsAreFound() throws IOException {
        Page page = open(Samples.clash(), 1280).page;
        page.locator("#next-collision").click();
        await(page, "Number(document.getElementById('lanes').dataset.from) > 1000000");
        assertTrue(number(page, "from") < 12.31e6 && number(page, "until") > 12.31e6, "12.31 s must be in view");
        page.locator("#whole").click();
        page.locator("#closer").click();
        await(page, "document.getElementById('lanes').dataset.from === '10000000'");
        BoundingBox box = page.locator("svg[data-lane=instrument]").first().boundingBox();
        page.mouse().move(box.x + 700, box.y + 30);
        page.mouse().down();
        page.mouse().move(box.x + 500, box.y + 30);
        page.mouse().up();
        await(page, "Number(document.getElementById('lanes').dataset.from) > 12000000");
        assertEquals(20e6, number(page, "until") - number(page, "from"), 1);
        page.context().close();
    }

    @Test
    void hostileNamesStayText() throws IOException {
        OfflineBrowser.Watched w = open(Samples.hostile(), 1280);
        assertEquals(List.of(), w.console);
        assertNotEquals("owned", w.page.title());
        assertEquals(3, w.page.locator("script").count() + w.page.locator("style").count());
        String lane = w.page.locator("#lanes .lane-title bdi").first().textContent();
        assertEquals(PlainText.clean(Samples.HOSTILE), lane);
        assertTrue(w.page.locator("header bdi").allTextContents().contains(PlainText.clean(Samples.HOSTILE)));
        w.page.context().close();
    }

    @Test
    void fitsAPhoneWithoutScrollingSideways() throws IOException {
        for (Findings f : List.of(Samples.clash(), Samples.hostile())) {
            for (int width : new int[] {360, 400, 800}) {
                OfflineBrowser.Watched w = open(f, width);
                assertTrue(w.sideways() <= 0, "wider than " + width + " by " + w.sideways());
                w.page.context().close();
            }
        }
    }

    @Test
    void printsOnA4() throws IOException {
        OfflineBrowser.Watched w = open(Samples.clash(), 1280);
        byte[] pdf = w.printed();
        assertEquals("rgb(255, 255, 255)", w.page.evaluate("getComputedStyle(document.body).backgroundColor"));
        String text = new String(pdf, StandardCharsets.ISO_8859_1);
        assertTrue(text.startsWith("%PDF-"), "no PDF");
        assertTrue(pdf.length > 20_000, pdf.length + " bytes");
        w.page.context().close();
    }

    /** Polls from outside: the page's own policy forbids what the driver would poll with inside. */
    private static void await(Page page, String condition) {
        for (int tries = 0; tries < 200; tries++) {
            if (Boolean.TRUE.equals(page.evaluate(condition))) return;
            page.waitForTimeout(50);
        }
        throw new AssertionError("never came true: " + condition);
    }

    private static void press(Page page, String key) {
        page.keyboard().press(key);
        page.evaluate("new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r)))");
    }

    private static double number(Page page, String name) {
        return ((Number) page.evaluate("Number(document.getElementById('lanes').dataset." + name + ")")).doubleValue();
    }

    /** From and until of every lane. */
    private static List<String> windows(Page page) {
        Object all = page.evaluate("Array.from(document.querySelectorAll('#lanes svg'),"
                + " s => s.dataset.from + ' ' + s.dataset.until)");
        List<String> out = new ArrayList<>();
        for (Object one : (List<?>) all) out.add((String) one);
        assertTrue(out.size() > 4, "too few lanes: " + out.size());
        return out;
    }
}
