package buswitness.report.compare;

import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/** What the page of a comparison shows, in its order. */
public record CompareModel(String policy, Content style, String headline, String tone, Sentence before, Sentence after,
                           boolean layouts, List<Group> groups, Sentence method, List<Sentence> notes,
                           List<Sentence> cautions, String program) {
    /** Changes of one standing. */
    public record Group(String title, String key, List<Row> rows, String more) {}

    /** One change. */
    public record Row(String kind, Sentence subject, Sentence before, Sentence after, String difference, String chance,
                      Sentence says) {}
}
