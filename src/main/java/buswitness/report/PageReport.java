package buswitness.report;

import buswitness.Findings;
import gg.jte.Content;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Base64;

/** The page: one file that fetches nothing, however long the recording. */
final class PageReport {
    /** Bytes; the promise is 2 MB. */
    static final int MOST_BYTES = 1_900_000;
    private static final int MOST_DRAWN = 60_000;
    private static final String[] SCRIPTS = {"view.js", "marks.js", "lanes.js", "page.js"};

    private PageReport() {}

    static void write(Findings findings, OutputStream out) throws IOException {
        Names names = new Names(findings);
        Drawn drawn = new Drawn(findings);
        String style = resource("page.css");
        StringBuilder script = new StringBuilder("(function () {\n'use strict';\n");
        for (String part : SCRIPTS) script.append(resource(part));
        script.append("}());\n");
        TemplateEngine engine = TemplateEngine.createPrecompiled(ContentType.Html);
        double scale = 1;
        while (true) {
            DetailPlan plan = drawn.plan((int) (MOST_DRAWN * scale));
            String facts = PageData.json(findings, names, drawn, plan, scale);
            PageModel model = new PageText(findings, names, plan).model(policy(style, script.toString()),
                    element("<style>", style, "</style>"),
                    element("<script type=\"application/json\" id=\"facts\">", facts, "</script>"),
                    element("<script>", script.toString(), "</script>"));
            StringOutput page = new StringOutput();
            engine.render("page.jte", model, page);
            byte[] bytes = page.toString().getBytes(StandardCharsets.UTF_8);
            if (bytes.length <= MOST_BYTES || scale < 0.01) {
                out.write(bytes);
                out.flush();
                return;
            }
            scale *= 0.6;
        }
    }

    /** CSP Level 3 (W3C), hash sources: only these two texts may run, and nothing may be fetched. */
    static String policy(String style, String script) {
        return "default-src 'none'; style-src 'sha256-" + hash(style) + "'; script-src 'sha256-" + hash(script)
                + "'; base-uri 'none'; form-action 'none'";
    }

    static String hash(String text) {
        try {
            byte[] digest = MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
            return Base64.getEncoder().encodeToString(digest);
        } catch (NoSuchAlgorithmException e) {
            throw new IllegalStateException("every Java platform has SHA-256", e);
        }
    }

    static Content element(String open, String text, String close) {
        return output -> {
            output.writeContent(open);
            output.writeContent(text);
            output.writeContent(close);
        };
    }

    static String resource(String name) {
        try (InputStream in = PageReport.class.getResourceAsStream("/web/" + name)) {
            if (in == null) throw new IllegalStateException("the build lacks web/" + name);
            return new String(in.readAllBytes(), StandardCharsets.UTF_8).replace("\r\n", "\n");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
