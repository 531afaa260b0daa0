package buswitness.map;

import java.util.List;

/**
 * What was done or seen, and the bits that answer.
 *
 * @param what       its name, as the user wrote it
 * @param unit       of readings, may be empty
 * @param state      true for something on or off, false for readings
 * @param told       instants or readings that count
 * @param candidates best first; empty where nothing answers
 * @param says       why nothing was found, or what to do to be surer; may be empty
 */
public record Learned(String what, String unit, boolean state, int told, List<Candidate> candidates, String says) {
    public Learned {
        candidates = List.copyOf(candidates);
    }

    /**
     * Bits that answer.
     *
     * @param field       where
     * @param found       whether the structure of the payload shows a field with just these bits
     * @param when        for a state: the number that means on
     * @param inverted    for a state: {@code when} means off
     * @param factor      for readings: value = factor * number + offset
     * @param factorError one standard error; NaN where two readings fix it exactly
     * @param scatter     standard deviation of the readings about the line, in their unit; NaN with two
     * @param matched     switchings or readings that fit, of those told
     * @param logOdds     log10 of the odds against the best of the others (first), or against the first (others)
     * @param logChance   log10 of the chance that bits like these fit so well by accident, all places tried included
     */
    public record Candidate(long key, PayloadField field, boolean found, long when, boolean inverted, double factor,
                            double factorError, double offset, double offsetError, double scatter, int matched,
                            double logOdds, double logChance) {}
}
