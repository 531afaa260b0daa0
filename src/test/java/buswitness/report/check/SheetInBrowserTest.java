package buswitness.report.check;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.plan.Evidence;
import buswitness.plan.Plan;
import buswitness.plan.Plans;
import buswitness.testing.OfflineBrowser;
import com.microsoft.playwright.Locator;
import com.microsoft.playwright.options.BoundingBox;
import com.microsoft.playwright.options.Media;
import com.microsoft.playwright.Page;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The sign-off sheet in a real browser without any network, on screens and on A4. */
class SheetInBrowserTest {
    private static final Path WORKSHOP = Path.of("captures/workshop");
    private static OfflineBrowser browser;
    private static byte[] passed;
    private static byte[] open;

    @TempDir
    Path folder;

    @BeforeAll
    static void start() throws IOException {
        browser = new OfflineBrowser();
        Plan plan = Plans.load(WORKSHOP.resolve("tern.plan.yaml"));
        Evidence evidence = Plans.evidence(WORKSHOP.resolve("tt-0040.evidence.jsonl"), plan);
        passed = sheet(plan, evidence, "TT-0040");
        open = sheet(plan, evidence, "TT-0099");
    }

    private static byte[] sheet(Plan plan, Evidence evidence, String serial) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        CheckReports.writeSheet(Plans.state(plan, evidence, serial), out);
        return out.toByteArray();
    }

    @AfterAll
    static void stop() {
        if (browser != null) browser.close();
    }

    @Test
    void nothingIsFetchedAndNothingSticksOut() throws IOException {
        for (byte[] sheet : List.of(passed, open)) {
            for (int width : new int[] {360, 768, 1280}) {
                OfflineBrowser.Watched w = browser.open(sheet, folder, width);
                assertEquals(List.of(), w.console);
                assertEquals(1, w.requests.size(), "only the page itself: " + w.requests);
                assertTrue(w.sideways() <= 0, w.sideways() + " pixels too wide at " + width);
                w.page.context().close();
            }
        }
    }

    /** Somebody writes on these lines by hand: 50 mm for a name and a signature, 25 mm for a date. */
    @Test
    void thereIsRoomToSign() throws IOException {
        OfflineBrowser.Watched w = onPaper(passed);
        List<BoundingBox> lines = w.page.locator(".lines p").all().stream().map(Locator::boundingBox).toList();
        assertEquals(3, lines.size());
        double millimetre = 96 / 25.4;
        double[] least = {50, 25, 50};
        for (int i = 0; i < 3; i++) {
            assertTrue(lines.get(i).width >= least[i] * millimetre, "line " + i + " is " + lines.get(i).width / millimetre + " mm");
        }
        assertEquals(lines.get(0).y, lines.get(2).y, 1, "side by side");
        BoundingBox hash = w.page.locator("#last-hash").boundingBox();
        BoundingBox signed = w.page.locator(".lines").boundingBox();
        assertTrue(signed.y - hash.y < 150 * millimetre, "the signature stands beside the hash it signs for");
        w.page.context().close();
    }

    @Test
    void cellsHoldTheirTextOnA4() throws IOException {
        OfflineBrowser.Watched w = onPaper(passed);
        assertTrue(w.sideways() <= 0, w.sideways() + " pixels too wide on A4");
        assertFalse((Boolean) w.page.evaluate("[...document.querySelectorAll('.step td')].some(c => c.scrollWidth >"
                + " c.clientWidth + 1)"), "a cell overflows");
        Number size = (Number) w.page.evaluate("Math.min(...[...document.querySelectorAll('.step td')].map(c =>"
                + " parseFloat(getComputedStyle(c).fontSize)))");
        assertTrue(size.doubleValue() >= 8 * 96 / 72.0, "8 points at least: " + size);
        w.page.context().close();
    }

    /** Four pages for nine steps; the last one, with the signature, is not nearly empty. */
    @Test
    void itPrintsOnFewPages() throws IOException {
        OfflineBrowser.Watched w = browser.open(passed, folder, 794);
        String pdf = new String(w.printed(), StandardCharsets.ISO_8859_1);
        int pages = pdf.split("/Type\\s*/Page\\b(?!s)").length - 1;
        assertTrue(pages >= 2 && pages <= 5, pages + " pages");
        w.page.context().close();
    }

    /** A4 less the sheet's margins of 14 mm is 688 CSS pixels wide. */
    private OfflineBrowser.Watched onPaper(byte[] sheet) throws IOException {
        OfflineBrowser.Watched w = browser.open(sheet, folder, 688);
        w.page.emulateMedia(new Page.EmulateMediaOptions().setMedia(Media.PRINT));
        return w;
    }
}
