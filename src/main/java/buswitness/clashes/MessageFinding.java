package buswitness.clashes;

import java.util.List;

/**
 * The verdict on one message.
 *
 * @param key          see {@link buswitness.frames.MessageKey}
 * @param frames       whole frames
 * @param damaged      damaged frames whose identifier could be read
 * @param senders      indexes into {@link ClashFindings#senders()}; one for one sender, two or more for a clash,
 *                     none where undecided
 * @param strength     combined log10 likelihood ratio, kinds counted once
 * @param evidence     strongest first
 * @param alternatives innocent explanations, each excluded, possible or found
 * @param wanted       where undecided: the recording that would decide, one sentence; else null
 * @param ablation     for a clash and where undecided: the verdict without each kind of evidence there is; else empty
 * @param byDesign     why several nodes may send it although nothing clashes, such as {@code event-triggered frame}; else
 *                     null
 */
public record MessageFinding(long key, int frames, int damaged, List<Integer> senders, Verdict verdict,
                             double strength, List<Schedule> schedules, List<Evidence> evidence,
                             List<Alternative> alternatives, String wanted, List<Ablated> ablation,
                             String byDesign) {
    /** What {@code byDesign} says of a header that several nodes answer when they have news. */
    public static final String EVENT_TRIGGERED = "event-triggered frame";

    public MessageFinding {
        senders = List.copyOf(senders);
        schedules = List.copyOf(schedules);
        evidence = List.copyOf(evidence);
        alternatives = List.copyOf(alternatives);
        ablation = List.copyOf(ablation);
    }

    /** A message that one node should send. */
    public MessageFinding(long key, int frames, int damaged, List<Integer> senders, Verdict verdict, double strength,
                          List<Schedule> schedules, List<Evidence> evidence, List<Alternative> alternatives,
                          String wanted, List<Ablated> ablation) {
        this(key, frames, damaged, senders, verdict, strength, schedules, evidence, alternatives, wanted, ablation, null);
    }

    /** A finding without an ablation. */
    public MessageFinding(long key, int frames, int damaged, List<Integer> senders, Verdict verdict, double strength,
                          List<Schedule> schedules, List<Evidence> evidence, List<Alternative> alternatives,
                          String wanted) {
        this(key, frames, damaged, senders, verdict, strength, schedules, evidence, alternatives, wanted, List.of());
    }
}
