package buswitness.report.parts;

import gg.jte.Content;
import gg.jte.TemplateOutput;

/** One of our sentences on a page: names in it stand in {@code <bdi>}, everything is escaped. */
public record Sentence(String text) implements Content {
    @Override
    public void writeTo(TemplateOutput output) {
        int from = 0;
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c != PlainText.ISOLATE && c != PlainText.END_ISOLATE) continue;
            output.writeUserContent(text.substring(from, i));
            output.writeContent(c == PlainText.ISOLATE ? "<bdi>" : "</bdi>");
            from = i + 1;
        }
        output.writeUserContent(text.substring(from));
    }
}
