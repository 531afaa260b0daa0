package buswitness.report.parts;

import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;

/** What a verdict, its strength, a symptom and its cause are called, in the same words everywhere. */
public final class FindingWords {
    public static final String STRENGTH_MEANS = "The figure is a power of ten: by 10 to that power two senders explain what"
            + " was seen better than one; below 0 it is the other way round.";

    private FindingWords() {}

    /** The verdict on a message; where more than two senders were found, how many. */
    public static String verdict(MessageFinding m) {
        int senders = m.senders().size();
        if (m.verdict() != Verdict.TWO_SENDERS || senders < 3) return m.verdict().text();
        return senders == 3 ? "three senders" : Figures.count(senders) + " senders";
    }

    /** What it does and why, without its name; a needle at rest is not in order where two senders disagree about it. */
    public static String does(InstrumentFinding i) {
        if (i.symptom() != Symptom.NONE) return symptom(i) + why(i.cause());
        return i.cause() == Cause.TWO_SENDERS ? "stands still although two senders disagree" : "as it should be";
    }

    public static String symptom(InstrumentFinding i) {
        return symptom(i.symptom(), i.lamp());
    }

    public static String symptom(Symptom symptom, boolean lamp) {
        return switch (symptom) {
            case NONE -> "behaves";
            case FLAPPING -> lamp ? "flickers" : "swings to and fro";
            case HELD -> "is held still";
            case DROPPED_OUT -> "drops out";
            case STEADILY_WRONG -> "stands steadily wrong";
            case NEVER_LIT -> "never lights";
        };
    }

    /** The same of several. */
    public static String symptoms(Symptom symptom, boolean lamps) {
        return switch (symptom) {
            case NONE -> "behave";
            case FLAPPING -> lamps ? "flicker" : "swing to and fro";
            case HELD -> "are held still";
            case DROPPED_OUT -> "drop out";
            case STEADILY_WRONG -> "stand steadily wrong";
            case NEVER_LIT -> "never light";
        };
    }

    /** What a kind of evidence looks at. */
    public static String looksAt(Evidence.Kind kind) {
        return switch (kind) {
            case SCHEDULE -> "when the messages come";
            case HEAD_ON -> "messages that two senders break for each other";
            case PAYLOAD -> "what the messages say";
            case WIRE -> "how each sender shapes its bits";
            case WITHOUT -> "what stops with a unit unplugged";
            case PREDICTION -> "whether damage falls where the clocks put it";
            case CLOCKS -> "which other messages keep the same clocks";
        };
    }

    public static String why(Cause cause) {
        return switch (cause) {
            case TWO_SENDERS -> " because two senders disagree";
            case DAMAGED_BY_TWO_SENDERS -> " because two senders damage each other's messages";
            case OWN_READING -> " because its one sender's own reading does so (sensor, wire or ground), not because of"
                    + " a clash";
            case RESTARTS -> " because its sender restarts";
            case DISTURBANCE -> " because the bus is disturbed";
            case MISSING_FRAMES -> " because messages are missing";
            case BLINKING -> ", as it is meant to";
            case UNDECIDED -> ", and this recording does not show why";
            case NONE -> "";
        };
    }

    /** How sure a verdict is, for the eye: what a strength means. */
    public static String strength(double strength) {
        if (Double.isNaN(strength)) return "no strength known";
        String figure = Figures.fixed(strength, 1);
        if (strength >= 6) return "very strong for two senders (" + figure + ")";
        if (strength >= 3) return "strong for two senders (" + figure + ")";
        if (strength >= 1) return "weak for two senders (" + figure + ")";
        if (strength > -1) return "tells little (" + figure + ")";
        return (strength > -3 ? "weak" : strength > -6 ? "strong" : "very strong") + " for one sender (" + figure + ")";
    }

    /** How the evidence on one message stands, one or two sentences. */
    public static String evidence(MessageFinding m) {
        String stands = "Evidence " + strength(m.strength());
        return m.verdict() == Verdict.UNDECIDED ? stands + ", and yet not enough to settle it." : stands + ".";
    }
}
