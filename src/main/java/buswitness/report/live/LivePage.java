package buswitness.report.live;

import buswitness.live.LivePages;
import buswitness.live.LiveState;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.WebPage;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.nio.charset.StandardCharsets;
import java.util.Map;

/** The live page: fetches nothing but the states of its own server. */
final class LivePage implements LivePages {
    private final byte[] page;

    /** @param file name of the recording @param keys that set marks, with their labels */
    LivePage(String file, Map<String, String> keys) {
        String style = WebPage.resource("page.css") + WebPage.resource("live.css");
        String script = "(function () {\n'use strict';\n" + WebPage.resource("live.js") + "}());\n";
        LiveModel model = new LiveModel("default-src 'none'; style-src 'sha256-" + WebPage.hash(style) + "'; script-src 'sha256-"
                + WebPage.hash(script) + "'; connect-src 'self'; img-src data:; base-uri 'none'; form-action 'none'",
                WebPage.element("<style>", style, "</style>"), WebPage.element("<script>", script, "</script>"),
                new Sentence(PlainText.name(file)), Cautions.ALL.stream().map(Sentence::new).toList(),
                keys.entrySet().stream().map(k -> new LiveModel.Key(k.getKey(), k.getValue())).toList());
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
