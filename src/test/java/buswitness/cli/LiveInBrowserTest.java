package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.probe.Probes;
import buswitness.problem.Progress;
import buswitness.testing.PortPair;
import com.microsoft.playwright.Browser;
import com.microsoft.playwright.BrowserContext;
import com.microsoft.playwright.BrowserType;
import com.microsoft.playwright.Page;
import com.microsoft.playwright.Playwright;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The live page in a real browser while {@code record} takes a recording from an emulated probe. */
@Timeout(180)
class LiveInBrowserTest {
    private static final Path CHROMIUM = Path.of(System.getProperty("buswitness.chromium", "/usr/bin/chromium"));
    private static final Path DEMO = Path.of("captures/two-translators.bwl.gz");

    @TempDir
    Path folder;

    private final ByteArrayOutputStream said = new ByteArrayOutputStream();

    private URI address(CompletableFuture<Integer> recording) throws InterruptedException {
        Pattern url = Pattern.compile("http://127\\.0\\.0\\.1:\\d+/[\\w-]+/");
        for (int i = 0; i < 100 && !recording.isDone(); i++) {
            Matcher m = url.matcher(said.toString(StandardCharsets.UTF_8));
            if (m.find()) return URI.create(m.group());
            Thread.sleep(50);
        }
        throw new AssertionError("no address: " + said.toString(StandardCharsets.UTF_8));
    }

    @Test
    void theClashShowsWhileItIsRecordedAndAMarkIsKept() throws Exception {
        Path out = folder.resolve("drive.bwr");
        try (PortPair pair = new PortPair(folder); Playwright playwright = Playwright.create(new Playwright.CreateOptions()
                .setEnv(Map.of("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1")))) {
            Browser browser = playwright.chromium().launch(new BrowserType.LaunchOptions().setExecutablePath(CHROMIUM)
                    .setArgs(List.of("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                            "--disable-background-networking", "--disable-component-update", "--disable-sync")));
            BrowserContext context = browser.newContext(new Browser.NewContextOptions().setViewportSize(1200, 900));
            List<String> console = new ArrayList<>();
            List<String> requests = new ArrayList<>();
            Page tab = context.newPage();
            tab.onConsoleMessage(m -> console.add(m.type() + ": " + m.text()));
            tab.onPageError(e -> console.add("error: " + e));
            tab.onRequest(r -> requests.add(r.url()));
            PrintStream err = new PrintStream(said, true, StandardCharsets.UTF_8);
            PrintStream nowhere = new PrintStream(new ByteArrayOutputStream());
            var recording = CompletableFuture.supplyAsync(() -> Main.run(new String[] {"record", pair.ours().toString(), "--out",
                out.toString(), "--port-speed", "3000000", "--layout", "captures/tern.layout.yaml", "--for", "39", "--key", "c=wiggled plug C again", "--page"},
                    nowhere, err, Map.of()));
            URI page = address(recording);
            tab.navigate(page.toString());
            var playing = CompletableFuture.runAsync(() -> Probes.emulate(Recordings.open(DEMO, ReadOptions.NONE), null,
                    pair.probes(), 2.5));
            strangersAreRefused(page);
            await(tab, "document.getElementById('headline').textContent.startsWith('Two senders clash')");
            tab.locator("#label").fill("wiggled plug C");
            tab.locator("#mark").click();
            await(tab, "document.getElementById('marked').textContent === 'Marked: wiggled plug C'");
            await(tab, "document.getElementById('marks').textContent.includes('wiggled plug C')");
            await(tab, "document.querySelectorAll('#senders tr').length >= 5");
            assertTrue(tab.locator("#instruments").innerText().contains("oolant gauge"), tab.locator("#instruments").innerText());
            await(tab, "Number(document.getElementById('damaged-all').textContent) >= 16");
            assertTrue(tab.locator("#strip path.hurt").getAttribute("d").length() > 10, "damage stands in the strip");
            tab.screenshot(new Page.ScreenshotOptions().setPath(Path.of("target/live-page.png")).setFullPage(true));
            keyboardAlone(tab);
            printed(tab);
            narrow(tab);
            playing.get(60, TimeUnit.SECONDS);
            assertEquals(0, recording.get(60, TimeUnit.SECONDS), said.toString(StandardCharsets.UTF_8));
            await(tab, "document.body.dataset.phase === 'ended'");
            assertTrue(tab.locator("#warnings").innerText().contains("ended"), tab.locator("#warnings").innerText());
            assertTrue(requests.stream().allMatch(r -> r.startsWith(page.toString())), "nothing else is fetched: " + requests);
            assertEquals(List.of(), console.stream().filter(c -> !c.contains("ERR_INCOMPLETE_CHUNKED")
                    && !c.contains("ERR_CONNECTION_REFUSED")).toList());
            browser.close();
        }
        assertTrue(marks(out).contains("wiggled plug C"), marks(out).toString());
    }

    /** Everything that can be done is reached and done by keys: a mark by its key, the label, its button, the sound. */
    private static void keyboardAlone(Page tab) {
        tab.locator("h1").click();
        tab.keyboard().press("c");
        await(tab, "document.getElementById('marked').textContent === 'Marked: wiggled plug C again'");
        List<String> reached = new ArrayList<>();
        for (int i = 0; i < 6; i++) {
            tab.keyboard().press("Tab");
            reached.add((String) tab.evaluate("document.activeElement.id || document.activeElement.dataset.key || ''"));
        }
        assertTrue(reached.containsAll(List.of("label", "mark", "sound", "c")), reached.toString());
        tab.locator("#label").focus();
        tab.keyboard().type("c in a word");
        assertEquals("Marked: wiggled plug C again", tab.locator("#marked").innerText(), "a key in a label sets no mark");
        tab.keyboard().press("Enter");
        await(tab, "document.getElementById('marked').textContent === 'Marked: c in a word'");
    }

    /** On A4 less its margins nothing sticks out, the colours are those of paper, and what needs a hand is left out. */
    private static void printed(Page tab) {
        tab.setViewportSize(178 * 96 * 10 / 254, 1000);
        tab.emulateMedia(new Page.EmulateMediaOptions().setMedia(com.microsoft.playwright.options.Media.PRINT));
        Number over = (Number) tab.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assertTrue(over.intValue() <= 0, "nothing sticks out of the paper: " + over);
        assertFalse(tab.locator("#mark-form").isVisible() || tab.locator("#keys").isVisible());
        assertTrue(tab.locator("#headline").isVisible() && tab.locator("#strip").isVisible());
        assertEquals("rgb(0, 0, 0)", tab.evaluate("getComputedStyle(document.body).color"));
        byte[] pdf = tab.pdf(new Page.PdfOptions().setPreferCSSPageSize(true).setPath(Path.of("target/live-page.pdf")));
        assertTrue(new String(pdf, StandardCharsets.ISO_8859_1).contains("/MediaBox [0 0 594.9"), "A4 is 595.3 points wide, less what the browser rounds");
        tab.emulateMedia(new Page.EmulateMediaOptions().setMedia(com.microsoft.playwright.options.Media.SCREEN));
    }

    private static void narrow(Page tab) {
        tab.setViewportSize(400, 800);
        Number over = (Number) tab.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assertTrue(over.intValue() <= 0, "nothing sticks out of a narrow window: " + over);
        tab.screenshot(new Page.ScreenshotOptions().setPath(Path.of("target/live-page-narrow.png")).setFullPage(true));
    }

    /** Without the word in the address, from another site, or under another name: nothing is read, nothing is marked. */
    private static void strangersAreRefused(URI page) throws Exception {
        HttpClient client = HttpClient.newHttpClient();
        String root = "http://127.0.0.1:" + page.getPort() + "/";
        for (String path : List.of("", "x/", "x/states", page.getPath().substring(2))) {
            assertEquals(403, get(client, HttpRequest.newBuilder(URI.create(root + path))), path);
        }
        URI mark = page.resolve("mark");
        HttpRequest.BodyPublisher label = HttpRequest.BodyPublishers.ofString("forged");
        assertEquals(403, get(client, HttpRequest.newBuilder(mark).POST(label)), "a mark without an origin");
        assertEquals(403, get(client, HttpRequest.newBuilder(mark).POST(label).header("Origin", "http://elsewhere.example")));
        assertEquals(403, get(client, HttpRequest.newBuilder(mark).POST(label).header("Origin", "null")));
        assertEquals(404, get(client, HttpRequest.newBuilder(mark)));
        assertEquals(404, get(client, HttpRequest.newBuilder(page).POST(label)));
        assertEquals(403, raw(page, "GET " + page.getPath() + " HTTP/1.1\r\nHost: elsewhere.example:" + page.getPort()
                + "\r\nConnection: close\r\n\r\n"), "a name that is pointed here");
        assertEquals(200, get(client, HttpRequest.newBuilder(page)));
    }

    private static int get(HttpClient client, HttpRequest.Builder request) throws Exception {
        return client.send(request.timeout(java.time.Duration.ofSeconds(5)).build(), HttpResponse.BodyHandlers.discarding())
                .statusCode();
    }

    private static int raw(URI page, String request) throws Exception {
        try (java.net.Socket socket = new java.net.Socket("127.0.0.1", page.getPort())) {
            socket.getOutputStream().write(request.getBytes(StandardCharsets.US_ASCII));
            String status = new String(socket.getInputStream().readNBytes(12), StandardCharsets.US_ASCII);
            return Integer.parseInt(status.substring(9));
        }
    }

    private static void await(Page tab, String condition) {
        for (int tries = 0; tries < 600; tries++) {
            if (Boolean.TRUE.equals(tab.evaluate(condition))) return;
            tab.waitForTimeout(100);
        }
        throw new AssertionError("never: " + condition + " on " + tab.locator("main").innerText());
    }

    private static List<String> marks(Path file) {
        List<String> marks = new ArrayList<>();
        Recordings.open(file, ReadOptions.NONE).read(new EdgeSink() {
            @Override
            public void begin(int line, long atPicos, int level) {}

            @Override
            public void edges(EdgeBlock block) {}

            @Override
            public void gap(int line, long fromPicos, long untilPicos, String why) {}

            @Override
            public void mark(long atPicos, String label) {
                marks.add(label);
            }

            @Override
            public void end(long atPicos) {}
        }, Progress.SILENT);
        return marks;
    }
}
