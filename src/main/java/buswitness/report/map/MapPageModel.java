package buswitness.report.map;

import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/**
 * What the template of a map's page fills in.
 *
 * @param policy  content security policy: nothing may be fetched, no script runs
 * @param tone    of the headline where a layout was compared: {@code yes} differs, {@code no} agrees, {@code undecided}, or
 *                empty
 * @param bus     the drawn bus, empty where there is nothing to draw
 * @param columns heads of the matrix behind the message's own columns
 */
public record MapPageModel(String policy, Content style, String title, Sentence file, String tone, Sentence headline,
                           List<Sentence> plain, List<Part> drift, Content bus, List<Sentence> senders,
                           List<Column> columns, List<Row> rows, List<Part> parts, List<Leaf> leaves,
                           List<Sentence> open, List<Sentence> cautions, boolean traces) {
    /** A heading and its sentences. */
    public record Part(String heading, List<Sentence> items) {}

    /** A column of the matrix: a sender with its mark, or an instrument. */
    public record Column(Content mark, Sentence name) {}

    /** A row of the matrix; {@code cells} as many as there are columns. */
    public record Row(Sentence name, String anchor, String every, String load, List<Content> cells) {}

    /** The page of one message. */
    public record Leaf(String anchor, Sentence name, List<Sentence> facts, Content bits, List<FieldRow> fields,
                       boolean hasPauses, Content pauses, List<Trace> traces) {}

    /** One part of a payload. */
    public record FieldRow(String kind, String where, String seen, String sure, Sentence more) {}

    /** One value over time. */
    public record Trace(String name, Content picture) {}
}
