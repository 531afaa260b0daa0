package buswitness.report.predict;

import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/** A forecast's page, ready to be laid out. */
public record PredictPageModel(String policy, Content style, String title, Sentence layouts, String tone,
                               Sentence headline, List<Sentence> plain, Sentence best, List<CloseUp> pictures,
                               List<InstrumentRow> instruments, List<Sentence> conflicts, List<Sentence> protections,
                               String whenTheyMeet, List<List<Sentence>> meetings, List<RemedyRow> remedies, Sentence howRanked,
                               List<Sentence> standIns, Sentence warningLamps, Sentence load, String responsesNote,
                               List<ResponseRow> responses, List<Sentence> cautions, List<Sentence> basis) {
    /** One gauge or lamp. */
    public record InstrumentRow(Sentence name, Sentence supply, Sentence seen, boolean suffers) {}

    /** One remedy of the table. */
    public record RemedyRow(String rank, Sentence action, String clashes, String served, Sentence unserved,
                            Sentence losing, String effort, String risk, Sentence mind, boolean possible) {}

    /** One message's response time. */
    public record ResponseRow(Sentence message, Sentence node, String period, String jitter, String response,
                              boolean late) {}
}
