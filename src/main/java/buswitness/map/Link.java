package buswitness.map;

/**
 * Two values on different messages that move together: {@code second = factor * first + offset}, as numbers on the wire.
 *
 * @param firstField  index into the message's fields
 * @param correlation of their movements, -1 to 1
 * @param factor      fitted
 * @param factorError one standard error
 * @param logChance   log10 of the chance, the number of pairs tried included
 */
public record Link(long firstMessage, int firstField, long secondMessage, int secondField, double correlation,
                   double factor, double factorError, double offset, double logChance) {}
