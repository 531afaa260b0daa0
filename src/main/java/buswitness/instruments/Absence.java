package buswitness.instruments;

import buswitness.clashes.Verdict;
import java.util.List;

/** Sentences and causes for instruments that are not told what they should show. Shared by needles and lamps. */
final class Absence {
    private Absence() {}

    /** Why the message never brought a value at all. */
    static Cause causeOfNever(Facts facts) {
        if (facts.series().damaged == 0) return Cause.MISSING_FRAMES;
        return facts.verdict() == Verdict.TWO_SENDERS ? Cause.DAMAGED_BY_TWO_SENDERS : Cause.UNDECIDED;
    }

    static String neverTold(Facts facts) {
        SignalSeries series = facts.series();
        String start = "Nothing ever told the " + facts.instrument().name() + " what to show: ";
        String span = Words.seconds(facts.endSeconds());
        if (series.arrivals > 0) {
            return start + Words.message(series.key) + " came " + Words.times(series.arrivals)
                    + " but never with the page that carries it.";
        }
        if (series.damaged == 0) return start + Words.message(series.key) + " never came in " + span + ".";
        return start + "all " + series.damaged + " frames of " + Words.message(series.key) + " in " + span
                + " were damaged" + (causeOfNever(facts) == Cause.DAMAGED_BY_TWO_SENDERS
                        ? ", by two senders that sent it at the same time." : ".");
    }

    /** The cause of time-outs, where the silences that led to them are known. */
    static Cause causeOfTimeOuts(Facts facts) {
        List<Silences.Silence> silences = facts.silencesBeyondTimeOut();
        if (!silences.isEmpty()) return Silences.mainCause(silences);
        return facts.verdict() == Verdict.ONE_SENDER ? Cause.MISSING_FRAMES : Cause.UNDECIDED;
    }

    static String timedOut(Facts facts, int times, String shows, Cause cause) {
        return "The " + facts.instrument().name() + " lost its message " + Words.times(times) + " for more than "
                + Words.seconds(facts.instrument().timeoutSeconds()) + " and then " + shows + because(facts, cause,
                        facts.silencesBeyondTimeOut());
    }

    static String held(Facts facts, List<Silences.Silence> silences, Cause cause) {
        double longest = 0;
        double from = 0;
        for (Silences.Silence s : silences) {
            if (s.seconds() > longest) {
                longest = s.seconds();
                from = s.fromSeconds();
            }
        }
        return "The " + facts.instrument().name() + " stood still " + Words.times(silences.size()) + ", for up to "
                + Words.seconds(longest) + " (from " + Words.seconds(from) + " on), because no whole "
                + Words.message(facts.series().key) + " came" + because(facts, cause, silences);
    }

    private static String because(Facts facts, Cause cause, List<Silences.Silence> silences) {
        int damaged = silences.stream().mapToInt(Silences.Silence::damagedOwn).sum();
        return switch (cause) {
            case DAMAGED_BY_TWO_SENDERS -> ": its frames (" + damaged
                    + " of them) were damaged by two senders that sent at the same time.";
            case DISTURBANCE -> ": frames of several messages were damaged at that time, so the wire was disturbed.";
            case RESTARTS -> ": its sender was away as a whole and began anew.";
            case MISSING_FRAMES -> ": nothing of it was on the wire.";
            default -> damaged > 0 ? ": " + damaged + " damaged frames of it are in these pauses; what damaged them "
                    + "is undecided." : ": why is undecided.";
        };
    }
}
