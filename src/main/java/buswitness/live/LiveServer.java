package buswitness.live;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import com.sun.net.httpserver.Headers;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.Base64;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.SynchronousQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import java.util.function.Supplier;

/**
 * Serves the live page on 127.0.0.1. Other sites open in the same browser must neither read nor mark: every address holds a
 * word chosen by chance, the Host header must name this server (against names that are pointed here), and a mark needs an
 * Origin header of this server (WHATWG Fetch; RFC 6454). States go out as server-sent events (WHATWG HTML, clause 9.2).
 */
final class LiveServer implements AutoCloseable {
    private static final int MOST_STREAMS = 8;
    private static final int MOST_LABEL = 400;
    private static final int MOST_THREADS = 24;
    private static final long BEAT_MILLIS = 250;

    private final HttpServer http;
    private final ExecutorService threads;
    private final LivePages pages;
    private final Supplier<LiveState> states;
    private final Consumer<String> marks;
    private final String word;
    private final AtomicInteger streams = new AtomicInteger();
    private volatile boolean closing;

    private LiveServer(HttpServer http, LivePages pages, Supplier<LiveState> states, Consumer<String> marks) {
        this.http = http;
        this.pages = pages;
        this.states = states;
        this.marks = marks;
        byte[] chance = new byte[18];
        new SecureRandom().nextBytes(chance);
        word = Base64.getUrlEncoder().withoutPadding().encodeToString(chance);
        threads = new ThreadPoolExecutor(0, MOST_THREADS, 10, TimeUnit.SECONDS, new SynchronousQueue<>(), work -> {
            Thread t = new Thread(work, "live page");
            t.setDaemon(true);
            return t;
        }, new ThreadPoolExecutor.AbortPolicy());
        http.setExecutor(threads);
        http.createContext("/", this::answer);
        http.start();
    }

    static LiveServer start(int port, LivePages pages, Supplier<LiveState> states, Consumer<String> marks) {
        try {
            InetAddress here = InetAddress.getByAddress(new byte[] {127, 0, 0, 1});
            return new LiveServer(HttpServer.create(new InetSocketAddress(here, port), 8), pages, states, marks);
        } catch (IOException e) {
            throw new InputFault(Place.file("--page"), "port " + port + " of this computer cannot be used ("
                    + e.getMessage() + ")", "name another, or leave the number out for any that is free");
        }
    }

    URI address() {
        return URI.create("http://127.0.0.1:" + http.getAddress().getPort() + "/" + word + "/");
    }

    private void answer(HttpExchange exchange) throws IOException {
        try (exchange) {
            Headers head = exchange.getResponseHeaders();
            head.set("Cache-Control", "no-store");
            head.set("X-Content-Type-Options", "nosniff");
            head.set("X-Frame-Options", "DENY");
            head.set("Cross-Origin-Resource-Policy", "same-origin");
            head.set("Referrer-Policy", "same-origin");
            if (!hosts().contains(String.valueOf(exchange.getRequestHeaders().getFirst("Host")))) {
                refuse(exchange, 403, "This address is not ours.");
                return;
            }
            String path = exchange.getRequestURI().getPath();
            String wanted = path.length() > 1 && path.indexOf('/', 1) > 0 ? path.substring(1, path.indexOf('/', 1)) : "";
            if (!MessageDigest.isEqual(wanted.getBytes(StandardCharsets.UTF_8), word.getBytes(StandardCharsets.UTF_8))) {
                refuse(exchange, 403, "Open the page with the whole address that 'record' printed.");
                return;
            }
            String method = exchange.getRequestMethod();
            switch (method + " " + path.substring(1 + word.length())) {
                case "GET /" -> page(exchange);
                case "GET /states" -> stream(exchange);
                case "POST /mark" -> mark(exchange);
                default -> refuse(exchange, 404, "There is nothing here.");
            }
        }
    }

    private Set<String> hosts() {
        int port = http.getAddress().getPort();
        return Set.of("127.0.0.1:" + port, "localhost:" + port);
    }

    private static void refuse(HttpExchange exchange, int status, String why) throws IOException {
        send(exchange, status, "text/plain; charset=utf-8", (why + "\n").getBytes(StandardCharsets.UTF_8));
    }

    private static void send(HttpExchange exchange, int status, String type, byte[] body) throws IOException {
        exchange.getResponseHeaders().set("Content-Type", type);
        exchange.sendResponseHeaders(status, body.length == 0 ? -1 : body.length);
        if (body.length > 0) exchange.getResponseBody().write(body);
    }

    private void page(HttpExchange exchange) throws IOException {
        send(exchange, 200, "text/html; charset=utf-8", pages.page());
    }

    private void mark(HttpExchange exchange) throws IOException {
        String origin = exchange.getRequestHeaders().getFirst("Origin");
        if (origin == null || !origin.startsWith("http://") || !hosts().contains(origin.substring(7))) {
            refuse(exchange, 403, "A mark can be set from the page itself only.");
            return;
        }
        byte[] body = exchange.getRequestBody().readNBytes(MOST_LABEL + 1);
        if (body.length > MOST_LABEL) {
            refuse(exchange, 413, "The label is too long.");
            return;
        }
        String label = new String(body, StandardCharsets.UTF_8).replaceAll("\\p{Cntrl}", " ").strip();
        marks.accept(label.isEmpty() ? "mark" : label);
        send(exchange, 204, "text/plain", new byte[0]);
    }

    private void stream(HttpExchange exchange) throws IOException {
        if (streams.incrementAndGet() > MOST_STREAMS) {
            streams.decrementAndGet();
            refuse(exchange, 503, "The page is open too often; close some of them.");
            return;
        }
        try {
            exchange.getResponseHeaders().set("Content-Type", "text/event-stream; charset=utf-8");
            exchange.sendResponseHeaders(200, 0);
            OutputStream out = exchange.getResponseBody();
            boolean last;
            do {
                last = closing;
                out.write(("data: " + pages.state(states.get()) + "\n\n").getBytes(StandardCharsets.UTF_8));
                out.flush();
                if (!last) Thread.sleep(BEAT_MILLIS);
            } while (!last);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        } finally {
            streams.decrementAndGet();
        }
    }

    /** Lets every open page have the last state. */
    void lastWord() throws InterruptedException {
        closing = true;
        for (int i = 0; i < 20 && streams.get() > 0; i++) Thread.sleep(100);
    }

    @Override
    public void close() {
        closing = true;
        http.stop(0);
        threads.shutdownNow();
    }
}
