package buswitness.report.parts;

import gg.jte.Content;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Base64;

/** What every page is made of: style, script and the rule that nothing is fetched. */
public final class WebPage {
    /** Bytes; the promise is 2 MB. */
    public static final int MOST_BYTES = 1_900_000;

    private WebPage() {}

    /** CSP Level 3 (W3C), hash sources: only these two texts may run, and nothing may be fetched. */
    public static String policy(String style, String script) {
        return "default-src 'none'; style-src 'sha256-" + hash(style) + "'; script-src 'sha256-" + hash(script)
                + "'; base-uri 'none'; form-action 'none'";
    }

    public static String hash(String text) {
        try {
            byte[] digest = MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
            return Base64.getEncoder().encodeToString(digest);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }

    public static Content element(String open, String text, String close) {
        return output -> {
            output.writeContent(open);
            output.writeContent(text);
            output.writeContent(close);
        };
    }

    public static String resource(String name) {
        try (InputStream in = WebPage.class.getResourceAsStream("/web/" + name)) {
            if (in == null) throw new IllegalStateException("the build lacks web/" + name);
            return new String(in.readAllBytes(), StandardCharsets.UTF_8).replace("\r\n", "\n");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
