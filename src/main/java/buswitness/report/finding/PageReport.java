package buswitness.report.finding;

import buswitness.Findings;
import buswitness.report.parts.Names;
import buswitness.report.parts.WebPage;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;

/** The page: one file that fetches nothing, however long the recording. */
final class PageReport {
    private static final int MOST_DRAWN = 60_000;
    private static final String[] SCRIPTS = {"view.js", "marks.js", "lanes.js", "page.js"};

    private PageReport() {}

    static void write(Findings findings, OutputStream out) throws IOException {
        Names names = new Names(findings);
        Drawn drawn = new Drawn(findings);
        String style = WebPage.resource("page.css");
        StringBuilder script = new StringBuilder("(function () {\n'use strict';\n");
        for (String part : SCRIPTS) script.append(WebPage.resource(part));
        script.append("}());\n");
        TemplateEngine engine = TemplateEngine.createPrecompiled(ContentType.Html);
        double scale = 1;
        while (true) {
            DetailPlan plan = drawn.plan((int) (MOST_DRAWN * scale));
            String facts = PageData.json(findings, names, drawn, plan, scale);
            PageModel model = new PageText(findings, names, plan).model(WebPage.policy(style, script.toString()),
                    WebPage.element("<style>", style, "</style>"),
                    WebPage.element("<script type=\"application/json\" id=\"facts\">", facts, "</script>"),
                    WebPage.element("<script>", script.toString(), "</script>"));
            StringOutput page = new StringOutput();
            engine.render("page.jte", model, page);
            byte[] bytes = page.toString().getBytes(StandardCharsets.UTF_8);
            if (bytes.length <= WebPage.MOST_BYTES || scale < 0.01) {
                out.write(bytes);
                out.flush();
                return;
            }
            scale *= 0.6;
        }
    }

}
