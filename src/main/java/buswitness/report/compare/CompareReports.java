package buswitness.report.compare;

import buswitness.Version;
import buswitness.compare.Change;
import buswitness.compare.Comparison;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.JsonText;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.WebPage;
import com.fasterxml.jackson.core.JsonGenerator;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** A comparison as screen text, JSON and a page. Nothing here closes a stream it was given. */
public final class CompareReports {
    private static final int MOST_ROWS = 400;

    private CompareReports() {}

    /** Differences of the bus first, what comes with them, what a drive makes too, what is undecided; the rest is counted. */
    public static void writeScreen(Comparison c, PrintStream out, ScreenStyle style) {
        ScreenLines lines = new ScreenLines(out, style);
        lines.paragraph(0, 0, c.differs() ? ScreenLines.Tone.BAD : c.undecided() ? ScreenLines.Tone.OPEN
                : ScreenLines.Tone.GOOD, CompareWords.headline(c));
        for (String sentence : CompareWords.plain(c)) lines.text(sentence);
        lines.text("Before: " + PlainText.name(c.before()) + ". After: " + PlainText.name(c.after()) + ".");
        for (CompareWords.Group group : CompareWords.groups(c)) {
            lines.heading(group.title());
            if (!group.intro().isEmpty()) lines.text(group.intro());
            for (Change x : group.changes()) {
                lines.item((c.layouts() ? "" : PlainText.capital(x.kind().text()) + ": ") + CompareWords.line(x));
            }
        }
        lines.heading("How this was compared");
        lines.text(CompareWords.method(c));
        if (!CompareWords.alike(c).isEmpty()) {
            lines.text("No difference beyond chance in " + CompareWords.alikeCounts(c) + "; --json FILE lists them.");
        }
        for (String n : c.notes()) lines.item(PlainText.foreign(n));
        out.flush();
    }

    /** UTF-8 JSON, format {@code buswitness-comparison/1}. */
    public static void writeJson(Comparison c, OutputStream out) throws IOException {
        JsonText.write(out, json -> write(c, json));
    }

    private static void write(Comparison c, JsonGenerator json) throws IOException {
        json.writeStartObject();
        json.writeStringField("format", "buswitness-comparison/1");
        json.writeStringField("program", "Buswitness " + Version.text());
        json.writeStringField("before", PlainText.wellFormed(c.before()));
        json.writeStringField("after", PlainText.wellFormed(c.after()));
        json.writeStringField("what", c.layouts() ? "layouts" : "recordings");
        json.writeStringField("difference", c.differs() ? "yes" : c.undecided() ? "undecided" : "no");
        json.writeNumberField("tests", c.tests());
        json.writeArrayFieldStart("changes");
        for (Change x : c.changes()) change(json, x);
        json.writeEndArray();
        json.writeArrayFieldStart("notes");
        for (String n : c.notes()) json.writeString(PlainText.wellFormed(n));
        json.writeEndArray();
        json.writeEndObject();
    }

    private static void change(JsonGenerator json, Change x) throws IOException {
        json.writeStartObject();
        json.writeStringField("kind", x.kind().text());
        json.writeStringField("subject", text(x.subject()));
        json.writeStringField("message", text(x.message()));
        json.writeStringField("standing", x.standing().text());
        json.writeStringField("origin", x.origin().text());
        json.writeStringField("before", text(x.before()));
        json.writeStringField("after", text(x.after()));
        number(json, "difference", x.difference());
        number(json, "difference_error", x.error());
        json.writeStringField("unit", text(x.unit()));
        number(json, "chance", x.chance());
        json.writeStringField("says", text(x.says()));
        json.writeEndObject();
    }

    private static String text(String value) {
        return PlainText.wellFormed(value).replace('\u00A0', ' ');
    }

    private static void number(JsonGenerator json, String name, double value) throws IOException {
        BigDecimal rounded = Figures.significant(value, 6);
        if (rounded == null) json.writeNullField(name);
        else json.writeNumberField(name, rounded);
    }

    /** One self-contained HTML page. */
    public static void writePage(Comparison c, OutputStream out) throws IOException {
        String style = WebPage.resource("page.css") + WebPage.resource("compare.css");
        List<CompareModel.Group> groups = new ArrayList<>();
        for (CompareWords.Group g : CompareWords.groups(c)) {
            groups.add(new CompareModel.Group(g.title(), g.intro(), g.key(), rows(g.changes(), c.layouts()),
                    g.changes().size() > MOST_ROWS ? Figures.count(g.changes().size() - MOST_ROWS) + " more are in the JSON." : ""));
        }
        List<CompareModel.Alike> alike = new ArrayList<>();
        CompareWords.alike(c).forEach((kind, some) -> alike.add(new CompareModel.Alike(PlainText.capital(kind),
                rows(some, false))));
        CompareModel model = new CompareModel(WebPage.policy(style, ""), WebPage.element("<style>", style, "</style>"),
                CompareWords.headline(c), CompareWords.tone(c), CompareWords.plain(c).stream().map(Sentence::new).toList(),
                new Sentence(PlainText.name(c.before())), new Sentence(PlainText.name(c.after())), c.layouts(), groups,
                CompareWords.alikeCounts(c), alike, new Sentence(CompareWords.method(c)),
                c.notes().stream().map(n -> new Sentence(PlainText.foreign(n))).toList(),
                Cautions.ALL.stream().map(Sentence::new).toList(), "Buswitness " + Version.text());
        StringOutput page = new StringOutput();
        TemplateEngine.createPrecompiled(ContentType.Html).render("compare.jte", model, page);
        out.write(page.toString().getBytes(StandardCharsets.UTF_8));
        out.flush();
    }

    private static List<CompareModel.Row> rows(List<Change> changes, boolean layouts) {
        return changes.stream().limit(MOST_ROWS).map(x -> row(x, layouts)).toList();
    }

    private static CompareModel.Row row(Change x, boolean layouts) {
        return new CompareModel.Row(layouts ? "" : PlainText.capital(x.kind().text()), new Sentence(PlainText.foreign(x.subject())),
                new Sentence(PlainText.foreign(x.before())), new Sentence(PlainText.foreign(x.after())),
                CompareWords.difference(x), CompareWords.chance(x), new Sentence(PlainText.foreign(x.says())));
    }
}
