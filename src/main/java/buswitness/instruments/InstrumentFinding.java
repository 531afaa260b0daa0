package buswitness.instruments;

import java.util.List;

/**
 * One gauge or lamp as the driver saw it.
 *
 * @param name              from the layout
 * @param lamp              lamp or needle
 * @param signal            the signal it shows
 * @param unit              the signal's unit, may be empty
 * @param key               the message that carries the signal
 * @param reversals         turns that the signal's own rate of change cannot explain; for a lamp, on/off changes
 * @param reversalsPerMinute over the time watched
 * @param withSenderChange  share of reversals that coincide with a change of sender, 0 to 1; NaN where none
 * @param chance            the share that chance alone would give
 * @param chanceError       one standard error of what chance gives
 * @param levels            values between which it goes, in the signal's unit, ascending
 * @param swing             largest less smallest of them; for a lamp 1
 * @param litShare          lamp: share of time lit; needle NaN
 * @param says              one sentence for the customer
 */
public record InstrumentFinding(String name, boolean lamp, String signal, String unit, long key, Symptom symptom,
                                Cause cause, int reversals, double reversalsPerMinute, double withSenderChange,
                                double chance, double chanceError, List<Double> levels, double swing,
                                double litShare, String says, Trace trace) {
    public InstrumentFinding {
        levels = List.copyOf(levels);
    }

    public boolean flapping() {
        return symptom == Symptom.FLAPPING;
    }
}
