package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Findings;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import com.microsoft.playwright.Browser;
import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.BrowserType;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.Playwright;
import com.microsoft.playwright.options.BoundingBox;
import com.microsoft.playwright.options.Media;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The page in a real browser without any network: Debian's chromium, driven by Playwright. */
class PageInBrowserTest {
    private static final Path CHROMIUM = Path.of(System.getProperty("buswitness.chromium", "/usr/bin/chromium"));
    private static Playwright playwright;
    private static Browser browser;

    @TempDir
    Path folder;

    /** What a page did while it was open. */
    private static final class Watched {
        final List<String> console = new ArrayList<>();
        final List<String> requests = new ArrayList<>();
        Page page;
    }

    @BeforeAll
    static void start() {
        assertTrue(Files.isExecutable(CHROMIUM), "the browser tests need chromium at " + CHROMIUM
                + "; ./verify installs it, or name it with -Dbuswitness.chromium=PATH");
        playwright = Playwright.create(new Playwright.CreateOptions().setEnv(Map.of(
                "PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")));
        browser = playwright.chromium().launch(new BrowserType.LaunchOptions().setExecutablePath(CHROMIUM)
                .setArgs(List.of("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                        "--disable-background-networking", "--disable-component-update", "--disable-sync")));
    }

    @AfterAll
    static void stop() {
        if (browser != null) browser.close();
        if (playwright != null) playwright.close();
    }

    private Watched open(Findings findings, int width) throws IOException {
        Path file = folder.resolve("report.html");
        Files.write(file, PageReportTest.page(findings));
        BrowserContext context = browser.newContext(new Browser.NewContextOptions().setViewportSize(width, 900)
                .setOffline(true));
        Watched watched = new Watched();
        watched.page = context.newPage();
        watched.page.onConsoleMessage(m -> watched.console.add(m.type() + ": " + m.text()));
        watched.page.onPageError(e -> watched.console.add("error: " + e));
        watched.page.onRequest(r -> watched.requests.add(r.url()));
        watched.page.navigate(file.toUri().toString());
        return watched;
    }

    @Test
    void opensWithoutErrorsOrRequestsAndShowsTheVerdict() throws IOException {
        for (Findings f : List.of(Samples.clash(), Samples.calm(), Samples.undecided(), Samples.noLayout())) {
            Watched w = open(f, 1280);
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
        Watched w = open(Samples.hostile(), 1280);
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
            Page page = open(f, 400).page;
            Object wide = page.evaluate("document.documentElement.scrollWidth");
            assertTrue(((Number) wide).intValue() <= 400, "page is " + wide + " wide");
            page.context().close();
        }
    }

    @Test
    void printsOnA4() throws IOException {
        Page page = open(Samples.clash(), 1280).page;
        page.emulateMedia(new Page.EmulateMediaOptions().setMedia(Media.PRINT));
        assertEquals("rgb(255, 255, 255)", page.evaluate("getComputedStyle(document.body).backgroundColor"));
        byte[] pdf = page.pdf(new Page.PdfOptions().setFormat("A4"));
        String text = new String(pdf, StandardCharsets.ISO_8859_1);
        assertTrue(text.startsWith("%PDF-"), "no PDF");
        assertTrue(pdf.length > 20_000, pdf.length + " bytes");
        page.context().close();
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
