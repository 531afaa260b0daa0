package buswitness.report.check;

import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/** What the sign-off sheet shows, in its order. */
public record SheetModel(String policy, Content style, String title, String tone, Sentence headline, Sentence plan,
                         List<Item> unit, List<Sentence> notices, List<Group> groups, List<Sentence> doesNotDo,
                         List<Sentence> cautions, Sentence chain, String lastHash, List<Item> evidence, boolean signable) {
    /** A name and what stands behind it. */
    public record Item(Sentence name, Sentence text) {}

    /** Steps of one verdict. */
    public record Group(String title, String key, List<Row> steps) {}

    /** One step. */
    public record Row(Sentence name, String stage, String outcome, String tone, Sentence todo, Sentence see,
                      List<Sentence> cautions, List<Part> parts, Sentence open) {}

    /** One part of a step with what it rests on. */
    public record Part(Sentence source, String sha256, Sentence note, List<Seen> seen) {}

    /** One judgement. */
    public record Seen(Sentence what, Sentence expected, String measured, String outcome, String tone, String place,
                       Sentence says) {}
}
