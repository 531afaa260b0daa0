package buswitness.report.compare;

import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/** What the page of a comparison shows, in its order. */
public record CompareModel(String policy, Content style, String headline, String tone, List<Sentence> plain, Sentence before,
                           Sentence after, boolean layouts, List<Group> groups, String alikeCounts, List<Alike> alike,
                           Sentence method, List<Sentence> notes, List<Sentence> cautions, String program) {
    /** Changes that are told together. */
    public record Group(String title, String intro, String key, List<Row> rows, String more) {}

    /** One change. */
    public record Row(String kind, Sentence subject, Sentence before, Sentence after, String difference, String chance,
                      Sentence says) {}

    /** What is alike, one kind. */
    public record Alike(String kind, List<Row> rows) {}
}
