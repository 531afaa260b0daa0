package buswitness.problem;

/**
 * Something survived but worth saying: a damaged block, a skipped row, a gap.
 *
 * @param place where it sits
 * @param says  one sentence for the user
 */
public record Notice(Place place, String says) {}
