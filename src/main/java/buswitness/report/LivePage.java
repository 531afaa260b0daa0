package buswitness.report;

import buswitness.live.LivePages;
import buswitness.live.LiveState;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.nio.charset.StandardCharsets;

/** The live page: fetches nothing but the states of its own server. */
final class LivePage implements LivePages {
    private final byte[] page;

    /** @param file name of the recording */
    LivePage(String file) {
        String style = PageReport.resource("page.css") + PageReport.resource("live.css");
        String script = "(function () {\n'use strict';\n" + PageReport.resource("live.js") + "}());\n";
        LiveModel model = new LiveModel("default-src 'none'; style-src 'sha256-" + PageReport.hash(style) + "'; script-src 'sha256-"
                + PageReport.hash(script) + "'; connect-src 'self'; img-src data:; base-uri 'none'; form-action 'none'",
                PageReport.element("<style>", style, "</style>"), PageReport.element("<script>", script, "</script>"),
                new Sentence(PlainText.name(file)), Cautions.ALL.stream().map(Sentence::new).toList());
        StringOutput out = new StringOutput();
        TemplateEngine.createPrecompiled(ContentType.Html).render("live.jte", model, out);
        page = out.toString().getBytes(StandardCharsets.UTF_8);
    }

    @Override
    public byte[] page() {
        return page.clone();
    }

    @Override
    public String state(LiveState state) {
        return LiveJson.of(state);
    }
}
