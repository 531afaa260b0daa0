package buswitness.report.finding;

import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Sentence;
import gg.jte.Content;
import java.util.List;

/**
 * What the page template fills in. Sentences escape themselves; plain strings are escaped by the template.
 *
 * @param policy   content security policy: nothing may be fetched, only our own style and script run
 * @param style    whole style element
 * @param facts    whole element with the data of the drawings
 * @param script   whole script element
 * @param tone     {@code yes}, {@code no} or {@code undecided}
 * @param others   what to do where something misbehaves without a clash
 * @param wanted   recordings that would decide
 * @param detail   where the drawings show everything and where not
 * @param references what recordings with a node unplugged say
 * @param hidden   what was left out of the page for its length, empty where nothing was
 */
public record PageModel(String policy, Content style, Content facts, Content script, String title, Sentence file,
                        String tone, Sentence headline, List<Plain> plain, CloseUp closeUp,
                        List<RemedyText> remedies, List<Sentence> others, List<Item> wanted, List<Sentence> cautions,
                        boolean drawings,
                        Sentence detail, List<BitsPicture> bits, Sentence moreCollisions, ClockPicture clocks,
                        List<SenderRow> senders, List<Sentence> references, List<Case> cases, List<MessageRow> messages,
                        List<InstrumentRow> instruments, List<Item> recording, List<Sentence> notices,
                        List<Sentence> hidden) {
    /** A sentence below the headline, and the words that lead it, or none. */
    public record Plain(String lead, Sentence text) {}

    /** A name and what belongs to it. */
    public record Item(Sentence name, Sentence text) {}

    /** One remedy. */
    public record RemedyText(Sentence action, Sentence effect, Sentence mind) {}

    /** One sender. */
    public record SenderRow(String style, String key, Sentence name, String clock, Sentence messages,
                            boolean involved) {}

    /** One message that clashes, is undecided, or has an innocent explanation that was found. */
    public record Case(Sentence name, String verdict, String tone, Sentence counts, List<Sentence> schedules,
                       List<EvidenceRow> evidence, List<AblatedRow> ablation, List<Other> others, Sentence wanted) {}

    /** One piece of evidence; {@code looksAt}: what this kind looks at, in plain words. */
    public record EvidenceRow(String kind, String looksAt, boolean conclusive, Sentence says, String strength,
                              String when) {}

    /** The verdict without one kind of evidence. */
    public record AblatedRow(String without, String verdict, String tone, String strength) {}

    /** One innocent explanation. */
    public record Other(Sentence explanation, String standing, Sentence because) {}

    /** One line of the list of all messages. */
    public record MessageRow(Sentence name, String frames, String damaged, Sentence senders, String verdict,
                             String strength) {}

    /** One gauge or lamp. */
    public record InstrumentRow(Sentence name, Sentence shows, Sentence does, boolean suffers) {}
}
