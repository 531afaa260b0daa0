package buswitness.testing;

import static org.junit.jupiter.api.Assertions.assertTrue;

import com.microsoft.playwright.Browser;
import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.BrowserType;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.Playwright;
import com.microsoft.playwright.options.Media;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** A real browser for tests of pages: Debian's chromium, driven by Playwright, which downloads nothing. */
public final class OfflineBrowser implements AutoCloseable {
    private static final Path CHROMIUM = Path.of(System.getProperty("buswitness.chromium", "/usr/bin/chromium"));

    private final Playwright playwright;
    private final Browser browser;

    public OfflineBrowser() {
        assertTrue(Files.isExecutable(CHROMIUM), "the browser tests need chromium at " + CHROMIUM
                + "; ./verify installs it, or name it with -Dbuswitness.chromium=PATH");
        playwright = Playwright.create(new Playwright.CreateOptions().setEnv(Map.of(
                "PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")));
        browser = playwright.chromium().launch(new BrowserType.LaunchOptions().setExecutablePath(CHROMIUM)
                .setArgs(List.of("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                        "--disable-background-networking", "--disable-component-update", "--disable-sync")));
    }

    /** A page and what it did while it was open. */
    public static final class Watched {
        public final List<String> console = new ArrayList<>();
        public final List<String> requests = new ArrayList<>();
        public final Page page;

        private Watched(BrowserContext context) {
            page = context.newPage();
            page.onConsoleMessage(m -> console.add(m.type() + ": " + m.text()));
            page.onPageError(e -> console.add("error: " + e));
            page.onRequest(r -> requests.add(r.url()));
        }

        /** Pixels that the page is wider than its window. */
        public int sideways() {
            return ((Number) page.evaluate("document.documentElement.scrollWidth - window.innerWidth")).intValue();
        }

        /** The page as it prints. */
        public byte[] printed() {
            page.emulateMedia(new Page.EmulateMediaOptions().setMedia(Media.PRINT));
            return page.pdf(new Page.PdfOptions().setFormat("A4"));
        }
    }

    /** Opens a file without any network. */
    public Watched open(Path file, int width) {
        return open(file, new Browser.NewContextOptions().setViewportSize(width, 900).setOffline(true));
    }

    public Watched open(Path file, Browser.NewContextOptions how) {
        Watched watched = new Watched(browser.newContext(how));
        watched.page.navigate(file.toUri().toString());
        return watched;
    }

    /** Writes the page into the folder and opens it. */
    public Watched open(byte[] html, Path folder, int width) throws IOException {
        return open(Files.write(folder.resolve("page.html"), html), width);
    }

    @Override
    public void close() {
        browser.close();
        playwright.close();
    }
}
