package buswitness.report.predict;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.predict.Forecast;
import buswitness.predict.PredictOptions;
import buswitness.predict.Predictions;
import buswitness.problem.Progress;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.testing.OfflineBrowser;
import com.microsoft.playwright.options.BoundingBox;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The forecast's page in a real browser without any network. */
class PredictPageInBrowserTest {
    private static OfflineBrowser browser;
    private static byte[] page;

    @TempDir
    Path folder;

    @BeforeAll
    static void start() throws IOException {
        browser = new OfflineBrowser();
        List<Layout> layouts = new ArrayList<>();
        for (String name : List.of("dashboard", "engine-unit", "gauge-translator")) {
            layouts.add(Layouts.load(Path.of("captures/workshop/" + name + ".layout.yaml")));
        }
        Forecast forecast = Predictions.of(layouts, new PredictOptions(3, 8, 1), Progress.SILENT);
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        PredictReports.writeHtml(forecast, out);
        page = out.toByteArray();
    }

    @AfterAll
    static void stop() {
        if (browser != null) browser.close();
    }

    @Test
    void theVerdictComesFirstAndNothingIsFetched() throws IOException {
        OfflineBrowser.Watched w = browser.open(page, folder, 1280);
        assertEquals(List.of(), w.console);
        assertEquals(1, w.requests.size(), "only the page itself: " + w.requests);
        List<String> order = w.page.locator("h1, h2").allInnerTexts();
        assertEquals("These nodes do not get along on one bus.", order.get(0));
        assertEquals("All remedies, best first", order.get(1));
        BoundingBox verdict = w.page.locator("#verdict").boundingBox();
        BoundingBox best = w.page.locator(".plain strong").first().boundingBox();
        assertTrue(verdict.y < 200 && best.y + best.height < 900, "verdict and best remedy stand on the first screen");
        w.page.context().close();
    }

    @Test
    void nothingSticksOutOfAPhone() throws IOException {
        for (int width : new int[] {360, 768, 1280}) {
            OfflineBrowser.Watched w = browser.open(page, folder, width);
            assertTrue(w.sideways() <= 0, w.sideways() + " pixels too wide at " + width);
            // A row of the ranked table can be read: each figure with its head before it on a phone, in columns elsewhere.
            BoundingBox action = w.page.locator(".ranked tbody td:nth-child(2)").first().boundingBox();
            assertTrue(action.width >= Math.min(200, width * 0.6), "the remedy is " + action.width + " wide at " + width);
            w.page.context().close();
        }
    }

    @Test
    void itPrintsOnA4() throws IOException {
        OfflineBrowser.Watched w = browser.open(page, folder, 794);
        byte[] pdf = w.printed();
        assertTrue(pdf.length > 20_000 && new String(pdf, 0, 5, java.nio.charset.StandardCharsets.US_ASCII).equals("%PDF-"));
        // A4 less its margins of 16 mm is 673 CSS pixels wide.
        w.page.setViewportSize(673, 900);
        assertTrue(w.sideways() <= 0, w.sideways() + " pixels too wide on A4");
        assertFalse((Boolean) w.page.evaluate("[...document.querySelectorAll('.ranked td')].some(c => c.scrollWidth >"
                + " c.clientWidth + 1)"), "a cell of the table overflows");
        w.page.context().close();
    }
}
